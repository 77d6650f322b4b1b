# Orders and incomplete blocks.

compare_with_r("order-balance",
  fixed = list(
    list(orders = rbind(c("a", "b", "d", "c"), c("b", "c", "a", "d"), c("c", "d", "b", "a"), c("d", "a", "c", "b"))),
    list(orders = rbind(c("a", "b"))), list(orders = rbind(c("a", "b"), c("b", "a"), c("a", "b")))
  ),
  draw = function() {
    items <- sample(letters, whole(2, 7))
    list(orders = t(replicate(whole(1, 30), sample(items))))
  },
  expected = function(input) {
    orders <- input$orders
    items <- sort(unique(as.vector(orders)), method = "radix")
    positions <- sapply(seq_len(ncol(orders)), function(place) table(factor(orders[, place], items)))
    carry_over <- matrix(0, length(items), length(items))
    for (listener in seq_len(nrow(orders))) for (place in seq_len(ncol(orders) - 1)) {
      at <- match(orders[listener, place + 0:1], items)
      carry_over[at[1], at[2]] <- carry_over[at[1], at[2]] + 1
    }
    beside <- carry_over[row(carry_over) != col(carry_over)]
    list(
      items = I(items), positionCounts = unname(positions), carryOverCounts = carry_over,
      positionImbalance = max(positions) - min(positions), carryOverImbalance = max(beside) - min(beside)
    )
  },
  relative = 0, absolute = 0
)

# All pairs, and all but one, are the smallest balanced designs of their size; the others are plans in Cochran and Cox
# 1957, Experimental Designs, table 11.3. Of a balanced design, lambda = r(k - 1)/(t - 1).
compare_with_r("incomplete-blocks",
  fixed = lapply(list(
    c(4, 2, 3), c(5, 2, 4), c(8, 2, 7), c(4, 3, 3), c(6, 5, 5), c(9, 8, 8), c(6, 3, 5), c(7, 3, 3), c(7, 4, 4),
    c(8, 4, 7), c(9, 3, 4), c(9, 4, 8), c(9, 6, 8), c(10, 4, 6), c(10, 6, 9), c(11, 5, 5), c(13, 4, 4),
    c(15, 7, 7), c(16, 4, 5), c(16, 6, 6), c(19, 9, 9), c(21, 5, 5), c(25, 5, 6), c(31, 6, 6)
  ), function(design) list(items = as.list(paste("item", seq_len(design[1]))), perBlock = design[2])),
  expected = function(input) {
    t <- length(input$items)
    known <- c(
      "6 3" = 5, "7 3" = 3, "7 4" = 4, "8 4" = 7, "9 3" = 4, "9 4" = 8, "9 6" = 8, "10 4" = 6, "10 6" = 9,
      "11 5" = 5, "13 4" = 4, "15 7" = 7, "16 4" = 5, "16 6" = 6, "19 9" = 9, "21 5" = 5, "25 5" = 6, "31 6" = 6
    )
    r <- if (input$perBlock %in% c(2, t - 1)) t - 1 else known[[paste(t, input$perBlock)]]
    list(replications = r, lambda = r * (input$perBlock - 1) / (t - 1))
  },
  relative = 0, absolute = 0
)
