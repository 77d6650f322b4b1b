# Several items ranked or ticked by the same listeners. Rank 1 is the best: of the highest score unless told otherwise.

best_first <- function(scores, higher_is_better = TRUE) {
  t(apply(if (higher_is_better) -scores else scores, 1, rank, na.last = "keep"))
}
higher <- function(input) is.null(input$higherIsBetter) || input$higherIsBetter

compare_with_r("friedman",
  fixed = list(
    list(scores = rbind(c(1, 2, 3), c(1, 2, 3), c(1, 2, 3))), list(scores = rbind(c(1, 2), c(2, 1), c(1, 2))),
    list(scores = rbind(c(1, 1, 2), c(3, 3, 3), c(0, 5, 5), c(1, 2, 2)))
  ),
  draw = function() list(scores = some_scores(whole(2, 40), whole(2, 8)), higherIsBetter = one_of(TRUE, FALSE)),
  expected = function(input) {
    n <- nrow(input$scores)
    k <- ncol(input$scores)
    test <- friedman.test(input$scores)
    chi_square <- unname(test$statistic)
    # Without disagreement F is infinite.
    f <- if (n * (k - 1) - chi_square > 1e-9) (n - 1) * chi_square / (n * (k - 1) - chi_square) else NA
    c(
      list(
        chiSquare = chi_square, degreesOfFreedom = k - 1, p = pchisq(chi_square, k - 1, lower.tail = FALSE),
        rankSums = I(colSums(best_first(input$scores, higher(input)))), kendallW = chi_square / (n * (k - 1))
      ),
      if (is.na(f)) list(f = NA) else list(f = f, fP = pf(f, k - 1, (k - 1) * (n - 1), lower.tail = FALSE))
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# Page 1963, J. Am. Stat. Assoc. 58:216. The exact distribution of L is that of one listener's Σ j·rank over all k! ways
# to rank, folded n times.
permutations <- function(k) {
  if (k == 1) return(matrix(1))
  shorter <- permutations(k - 1)
  do.call(rbind, lapply(seq_len(k), function(first) cbind(first, shorter + (shorter >= first))))
}
one_listener <- local({
  known <- list()
  function(k) {
    key <- as.character(k)
    if (is.null(known[[key]])) known[[key]] <<- tabulate(permutations(k) %*% seq_len(k)) / factorial(k)
    known[[key]]
  }
})
page_upper <- function(l, n, k) {
  one <- one_listener(k) # one[s] is the probability of the sum s
  sums <- 1
  for (i in seq_len(n)) {
    folded <- numeric(length(sums) + length(one))
    for (s in which(one > 0)) folded[s + seq_along(sums)] <- folded[s + seq_along(sums)] + one[s] * sums
    sums <- folded # sums[s + 1] is the probability of the sum s
  }
  sum(rev(sums[(l + 1):length(sums)]))
}

compare_with_r("page",
  fixed = list(
    list(scores = rbind(c(1, 2, 3), c(1, 2, 3))), list(scores = rbind(c(3, 2, 1), c(3, 2, 1), c(3, 1, 2))),
    list(scores = matrix(rep(1:8, 5), 5, byrow = TRUE)), list(scores = rbind(1:9)),
    list(scores = rbind(c(1, 1, 2), c(1, 2, 3), c(1, 3, 3)), order = c(2, 1, 3))
  ),
  draw = function() {
    k <- whole(3, 8)
    n <- one_of(whole(2, max(2, floor(40 / k))), whole(2, 30))
    scores <- some_scores(n, k)
    if (whole(0, 1) == 1) scores <- scores[, order(colMeans(scores))]
    if (whole(0, 1) == 1) list(scores = scores, order = sample(k)) else list(scores = scores)
  },
  expected = function(input) {
    n <- nrow(input$scores)
    k <- ncol(input$scores)
    order <- if (is.null(input$order)) seq_len(k) else input$order
    ranks <- t(apply(input$scores, 1, rank))
    l <- sum(seq_len(k) * colSums(ranks)[order])
    mean <- n * k * (k + 1)^2 / 4
    variance <- n * k^2 * (k + 1)^2 * (k - 1) / 144
    z <- (l - mean) / sqrt(variance)
    ties <- any(apply(input$scores, 1, anyDuplicated) > 0)
    exact <- k <= 8 && n * k <= 40 && !ties
    list(
      l = l, expected = mean, variance = variance, z = z,
      p = if (exact) page_upper(l, n, k) else pnorm(z, lower.tail = FALSE), exact = exact
    )
  },
  relative = 1e-10, absolute = 1e-13
)

# Nemenyi 1963 (studentized range without degrees of freedom), Conover 1999 sec. 5.8 (t with the residual variance of the
# ranks), and the least significant difference of ISO 8587 (z); all of rank sums.
compare_with_r("rank-differences",
  fixed = unlist(lapply(c("nemenyi", "conover", "lsd"), function(method) list(
    list(scores = rbind(c(1, 2), c(2, 1), c(1, 2)), method = method),
    list(scores = rbind(c(1, 1, 2), c(3, 3, 4), c(0, 5, 5), c(1, 2, 2)), method = method, alpha = 0.01)
  )), recursive = FALSE),
  draw = function() {
    repeat {
      scores <- some_scores(whole(3, 40), whole(2, 8))
      ranks <- best_first(scores)
      if (any(apply(ranks, 2, var) > 0)) break # without disagreement Conover's t has no denominator
    }
    list(
      scores = scores, method = one_of("nemenyi", "conover", "lsd"), alpha = one_of(0.05, 0.01, 0.1),
      higherIsBetter = one_of(TRUE, FALSE)
    )
  },
  expected = function(input) {
    n <- nrow(input$scores)
    k <- ncol(input$scores)
    alpha <- if (is.null(input$alpha)) 0.05 else input$alpha
    ranks <- best_first(input$scores, higher(input))
    sums <- colSums(ranks)
    df <- (n - 1) * (k - 1)
    unit <- switch(input$method,
      nemenyi = sqrt(n * k * (k + 1) / 12), conover = sqrt(2 * (n * sum(ranks^2) - sum(sums^2)) / df),
      lsd = sqrt(n * k * (k + 1) / 6)
    )
    upper <- switch(input$method,
      nemenyi = function(q) studentized_range_upper(q, k, Inf), conover = function(t) 2 * pt(-t, df),
      lsd = function(z) 2 * pnorm(-z)
    )
    critical <- switch(input$method,
      nemenyi = studentized_range_quantile(alpha, k, Inf), conover = qt(alpha / 2, df, lower.tail = FALSE),
      lsd = qnorm(alpha / 2, lower.tail = FALSE)
    )
    list(
      pairs = each_pair(k, function(i, j) {
        difference <- sums[[i]] - sums[[j]]
        list(a = i, b = j, difference = difference, p = upper(abs(difference) / unit))
      }),
      critical = critical * unit
    )
  },
  # The studentized range is stated to 1e-7, of which p = 1e-12 keeps the size only.
  relative = 1e-7, absolute = 1e-13
)

# Durbin 1951; Conover 1999, sec. 5.8, with the ranks as they are where there are ties.
incomplete_designs <- list(
  list(items = 4, blocks = combn(4, 2)), list(items = 4, blocks = combn(4, 3)), list(items = 5, blocks = combn(5, 2)),
  list(items = 5, blocks = combn(5, 4)), list(items = 6, blocks = combn(6, 3)),
  list(items = 3, blocks = combn(3, 3)[, c(1, 1, 1, 1), drop = FALSE]),
  # Shifted difference sets: Cochran and Cox 1957, plans of 7 in blocks of 3 and 4, and 13 in blocks of 4.
  list(items = 7, blocks = sapply(0:6, function(i) (c(0, 1, 3) + i) %% 7 + 1)),
  list(items = 7, blocks = sapply(0:6, function(i) (c(2, 4, 5, 6) + i) %% 7 + 1)),
  list(items = 13, blocks = sapply(0:12, function(i) (c(0, 1, 3, 9) + i) %% 13 + 1))
)
compare_with_r("durbin",
  # Conover's ice creams.
  fixed = list(list(scores = rbind(
    c(2, 3, NA, 1, NA, NA, NA), c(NA, 3, 1, NA, 2, NA, NA), c(NA, NA, 2, 1, NA, 3, NA), c(NA, NA, NA, 1, 2, NA, 3),
    c(3, NA, NA, NA, 1, 2, NA), c(NA, 3, NA, NA, NA, 1, 2), c(3, NA, 1, NA, NA, NA, 2)
  ), higherIsBetter = FALSE)),
  draw = function() {
    design <- do.call(one_of, incomplete_designs)
    blocks <- design$blocks[, rep(seq_len(ncol(design$blocks)), whole(1, 3)), drop = FALSE]
    all <- some_scores(ncol(blocks), design$items)
    scores <- matrix(NA_real_, ncol(blocks), design$items)
    for (i in seq_len(ncol(blocks))) scores[i, blocks[, i]] <- all[i, blocks[, i]]
    list(scores = scores[sample(nrow(scores)), ], higherIsBetter = one_of(TRUE, FALSE))
  },
  expected = function(input) {
    ranks <- best_first(input$scores, higher(input))
    items <- ncol(ranks)
    blocks <- nrow(ranks)
    each <- sum(!is.na(ranks[1, ]))
    replications <- sum(!is.na(ranks[, 1]))
    sums <- colSums(ranks, na.rm = TRUE)
    a <- sum(ranks^2, na.rm = TRUE)
    c <- blocks * each * (each + 1)^2 / 4
    t1 <- (items - 1) * (sum(sums^2) - replications * c) / (a - c)
    df <- blocks * each - blocks - items + 1
    rest <- blocks * (each - 1) - t1
    t2 <- (t1 / (items - 1)) / (rest / df)
    # Incomplete blocks that agree without residue are refused, since F has nothing to divide by.
    if (rest < 1e-9 && each < items) return(NULL)
    c(
      list(
        chiSquare = t1, degreesOfFreedom = items - 1, p = pchisq(t1, items - 1, lower.tail = FALSE),
        rankSums = I(sums)
      ),
      if (rest > 1e-9 && df > 0) list(f = t2, fP = pf(t2, items - 1, df, lower.tail = FALSE))
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# Cochran 1950, Biometrika 37:256.
compare_with_r("cochran-q",
  fixed = list(
    list(answers = rbind(c(1, 0), c(1, 0), c(0, 1))),
    list(answers = rbind(c(1, 1, 1), c(0, 0, 0), c(1, 0, 0), c(0, 1, 0)))
  ),
  draw = function() {
    repeat {
      n <- whole(2, 60)
      k <- whole(2, 8)
      answers <- matrix(rbinom(n * k, 1, rep(runif(k), each = n)), n)
      if (any(rowSums(answers) %in% seq_len(k - 1))) break
    }
    list(answers = answers)
  },
  expected = function(input) {
    k <- ncol(input$answers)
    columns <- colSums(input$answers)
    rows <- rowSums(input$answers)
    q <- (k - 1) * (k * sum(columns^2) - sum(columns)^2) / (k * sum(rows) - sum(rows^2))
    list(q = q, degreesOfFreedom = k - 1, p = pchisq(q, k - 1, lower.tail = FALSE))
  },
  relative = 1e-9, absolute = 1e-12
)
