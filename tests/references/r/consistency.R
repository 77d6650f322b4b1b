# Agreement, reliability, and how a panel performs.

# Shrout and Fleiss 1979, Psychol. Bull. 86:420; limits also in McGraw and Wong 1996. Limits of the average of the
# two-way random case are those of the single one, stepped up.
compare_with_r("icc",
  # Shrout and Fleiss, table 2.
  fixed = list(
    list(
      ratings = rbind(c(9, 2, 5, 8), c(6, 1, 3, 2), c(8, 4, 6, 8), c(7, 1, 2, 6), c(10, 5, 6, 9), c(6, 2, 4, 7)),
      level = 0.9
    )
  ),
  draw = function() {
    n <- one_of(whole(3, 6), whole(5, 40))
    list(
      ratings = round(some_scores(n, whole(2, 6), digits = 12) + rnorm(n, sd = runif(1, 0.7, 3)), one_of(1, 12)),
      level = one_of(0.95, 0.9, 0.99)
    )
  },
  expected = function(input) {
    ratings <- input$ratings
    n <- nrow(ratings)
    k <- ncol(ratings)
    tail <- (1 - input$level) / 2
    rows <- rowMeans(ratings)
    columns <- colMeans(ratings)
    between <- k * sum((rows - mean(ratings))^2) / (n - 1)
    raters <- n * sum((columns - mean(ratings))^2) / (k - 1)
    within <- sum((ratings - rows)^2) / (n * (k - 1))
    residual <- sum((ratings - outer(rows, columns, "+") + mean(ratings))^2) / ((n - 1) * (k - 1))
    quantile <- function(df1, df2) f_quantile_upper(tail, df1, df2)
    row <- function(value, f, df2, limits) {
      list(
        value = value, f = f, df1 = n - 1, df2 = df2, p = pf(f, n - 1, df2, lower.tail = FALSE), lower = limits[1],
        upper = limits[2]
      )
    }
    f1 <- between / within
    df1 <- n * (k - 1)
    limits1 <- c(f1 / quantile(n - 1, df1), f1 * quantile(df1, n - 1))
    f3 <- between / residual
    df3 <- (n - 1) * (k - 1)
    limits3 <- c(f3 / quantile(n - 1, df3), f3 * quantile(df3, n - 1))
    single2 <- (between - residual) / (between + (k - 1) * residual + k * (raters - residual) / n)
    fj <- raters / residual
    v <- df3 * (k * single2 * fj + n * (1 + (k - 1) * single2) - k * single2)^2 /
      ((n - 1) * k^2 * single2^2 * fj^2 + (n * (1 + (k - 1) * single2) - k * single2)^2)
    spread <- between + (raters - residual) / n
    # Where raters agree far less than by chance, these degrees of freedom vanish, or the average of the two-way random
    # case turns to nonsense above 1: then the formulas don't hold.
    if (v < 0.1 || spread <= 0) return(NULL)
    below <- quantile(n - 1, v)
    above <- quantile(v, n - 1)
    rest <- k * raters + (k * n - k - n) * residual
    limits2 <- c(
      n * (between - below * residual) / (below * rest + n * between),
      n * (above * between - residual) / (rest + n * above * between)
    )
    list(
      single = list(
        oneWay = row((between - within) / (between + (k - 1) * within), f1, df1, (limits1 - 1) / (limits1 + k - 1)),
        twoWayRandom = row(single2, f3, df3, limits2),
        twoWayMixed = row(
          (between - residual) / (between + (k - 1) * residual), f3, df3, (limits3 - 1) / (limits3 + k - 1)
        )
      ),
      average = list(
        oneWay = row((between - within) / between, f1, df1, 1 - 1 / limits1),
        # Stepping up means nothing where a limit lies below -1/(k - 1).
        twoWayRandom = row(
          (between - residual) / spread, f3, df3,
          ifelse(limits2 > -1 / (k - 1), k * limits2 / (1 + (k - 1) * limits2), NA)
        ),
        twoWayMixed = row((between - residual) / between, f3, df3, 1 - 1 / limits3)
      ),
      meanSquares = list(between = between, within = within, raters = raters, residual = residual)
    )
  },
  # A limit near 0 is a difference of nearly equal figures, hence the absolute part.
  relative = 1e-9, absolute = 1e-12
)

# Cohen 1960 and 1968; standard error after Fleiss, Cohen and Everitt 1969, Psychol. Bull. 72:323, eq. 13.
compare_with_r("cohen-kappa",
  fixed = list(
    list(first = c("a", "b", "c"), second = c("a", "b", "c"), weights = "none"),
    list(first = c(10, 9, 100, 9), second = c(9, 9, 100, 10), weights = "linear"),
    list(first = rep(c("yes", "no"), c(40, 60)), second = rep(c("yes", "no", "yes"), c(30, 50, 20)))
  ),
  draw = function() {
    n <- whole(8, 200)
    k <- whole(2, 6)
    first <- c(seq_len(k), sample(k, n, replace = TRUE))
    second <- c(seq_len(k), ifelse(runif(n) < runif(1, 0, 0.9), tail(first, n), sample(k, n, replace = TRUE)))
    second[1:2] <- second[2:1] # never everything alike
    names <- one_of(letters[seq_len(k)], seq_len(k), sort(sample(200, k)) / 4)
    list(
      first = names[first], second = names[second], weights = one_of("none", "linear", "quadratic"),
      level = some_level()
    )
  },
  expected = function(input) {
    input <- modifyList(list(weights = "none", level = 0.95), input)
    categories <- sort(unique(c(input$first, input$second)), method = "radix")
    n <- length(input$first)
    k <- length(categories)
    share <- unclass(table(factor(input$first, categories), factor(input$second, categories))) / n
    apart <- abs(outer(seq_len(k), seq_len(k), "-"))
    weight <- switch(
      input$weights, none = 1 * (apart == 0), linear = 1 - apart / (k - 1), quadratic = 1 - (apart / (k - 1))^2
    )
    rows <- rowSums(share)
    columns <- colSums(share)
    observed <- sum(weight * share)
    by_chance <- sum(weight * outer(rows, columns))
    kappa <- (observed - by_chance) / (1 - by_chance)
    of_row <- as.vector(weight %*% columns)
    of_column <- as.vector(rows %*% weight)
    squares <- sum(share * (weight - outer(of_row, of_column, "+") * (1 - kappa))^2)
    variance <- (squares - (kappa - by_chance * (1 - kappa))^2) / (n * (1 - by_chance)^2)
    error <- sqrt(max(0, variance))
    z <- qnorm((1 - input$level) / 2, lower.tail = FALSE)
    list(kappa = kappa, standardError = error, lower = kappa - z * error, upper = kappa + z * error)
  },
  # The variance is a difference, hence the absolute part near 0.
  relative = 1e-9, absolute = 1e-12
)

# Fleiss 1971; standard error under the null after Fleiss, Nee and Landis 1979.
compare_with_r("fleiss-kappa",
  fixed = list(
    list(counts = rbind(c(3, 0), c(0, 3), c(3, 0))), list(counts = rbind(c(0, 2, 1), c(1, 1, 1), c(2, 1, 0)))
  ),
  draw = function() {
    repeat {
      n <- whole(2, 14)
      k <- whole(2, 6)
      counts <- t(replicate(whole(2, 60), as.vector(rmultinom(1, n, rexp(k) + 0.1))))
      if (all(colSums(counts) > 0)) break
    }
    list(counts = counts)
  },
  expected = function(input) {
    counts <- input$counts
    subjects <- nrow(counts)
    n <- sum(counts[1, ])
    p <- colSums(counts) / (subjects * n)
    q <- 1 - p
    observed <- mean((rowSums(counts^2) - n) / (n * (n - 1)))
    kappa <- (observed - sum(p^2)) / (1 - sum(p^2))
    error <- sqrt(2) / (sum(p * q) * sqrt(subjects * n * (n - 1))) * sqrt(sum(p * q)^2 - sum(p * q * (q - p)))
    by_category <- 1 - colSums(counts * (n - counts)) / (subjects * n * (n - 1) * p * q)
    list(kappa = kappa, standardError = error, p = 2 * pnorm(-abs(kappa) / error), byCategory = I(by_category))
  },
  relative = 1e-9, absolute = 1e-12
)

# Krippendorff 2011, Computing Krippendorff's Alpha-Reliability: by pairs of values within items against all pairs.
compare_with_r("krippendorff-alpha",
  fixed = list(
    list(ratings = rbind(c(1, 2, NA), c(1, NA, 3), c(2, 2, 3)), level = "nominal"),
    list(ratings = rbind(c(-1, 0, 2.5, 4), c(-1, 1, 2.5, 3)), level = "interval")
  ),
  draw = function() {
    raters <- whole(2, 5)
    items <- whole(4, 30)
    level <- one_of("nominal", "ordinal", "interval", "ratio")
    truth <- sample(one_of(2, 4, 7), items, replace = TRUE)
    ratings <- t(replicate(raters, ifelse(runif(items) < 0.6, truth, sample(7, items, replace = TRUE))))
    if (level %in% c("interval", "ratio") && whole(0, 1) == 1) ratings <- ratings + round(runif(length(ratings)), 2)
    ratings[runif(length(ratings)) < one_of(0, 0.2)] <- NA
    ratings[1:2, 1] <- c(1, 2)
    ratings[1:2, 2] <- c(3, 3)
    list(ratings = ratings, level = level)
  },
  expected = function(input) {
    ratings <- input$ratings[, colSums(!is.na(input$ratings)) >= 2, drop = FALSE]
    values <- sort(unique(ratings[!is.na(ratings)]))
    coincidences <- matrix(0, length(values), length(values))
    for (item in seq_len(ncol(ratings))) {
      counts <- tabulate(match(ratings[!is.na(ratings[, item]), item], values), length(values))
      coincidences <- coincidences + (outer(counts, counts) - diag(counts, length(counts))) / (sum(counts) - 1)
    }
    n <- rowSums(coincidences)
    cumulated <- cumsum(n) - n / 2
    distance <- switch(input$level,
      nominal = 1 * outer(values, values, "!="), ordinal = outer(cumulated, cumulated, "-")^2,
      interval = outer(values, values, "-")^2,
      ratio = (outer(values, values, "-") / outer(values, values, "+"))^2
    )
    list(alpha = 1 - (sum(n) - 1) * sum(coincidences * distance) / sum(outer(n, n) * distance))
  },
  relative = 1e-9, absolute = 1e-12
)

# Cronbach 1951.
compare_with_r("cronbach-alpha",
  fixed = list(list(scores = rbind(c(1, 2), c(2, 1), c(3, 5))), list(scores = rbind(c(1, 6), c(2, 5), c(3, 5)))),
  draw = function() {
    n <- whole(3, 50)
    list(scores = round(some_scores(n, whole(2, 8), digits = 12) + rnorm(n, sd = runif(1, 0, 2)), one_of(1, 12)))
  },
  expected = function(input) {
    k <- ncol(input$scores)
    list(alpha = k / (k - 1) * (1 - sum(apply(input$scores, 2, var)) / var(rowSums(input$scores))))
  },
  relative = 1e-9, absolute = 1e-12
)

# Bland and Altman 1986, Lancet i:307: the limits with the normal quantile in full; the repeatability as the figure
# 1.96·√2 that is quoted for it.
compare_with_r("retest",
  fixed = list(
    list(first = c(1, 2), second = c(2, 1)), list(first = c(494, 395, 516, 434), second = c(512, 430, 520, 428))
  ),
  draw = function() some_pairs(whole(2, 60)),
  expected = function(input) {
    d <- input$first - input$second
    z <- qnorm(0.975)
    within <- sqrt(sum(d^2) / (2 * length(d)))
    list(
      bias = mean(d), lowerLimit = mean(d) - z * sd(d), upperLimit = mean(d) + z * sd(d), withinSd = within,
      repeatability = 1.96 * sqrt(2) * within
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# Listeners drawn from many, items fixed: items are tested on listener × item, everything else on the residual.
compare_with_r("panel-performance",
  draw = function() {
    listeners <- whole(2, 9)
    items <- whole(2, 6)
    replicates <- whole(2, 4)
    rows <- expand.grid(replicate = seq_len(replicates), item = seq_len(items), listener = seq_len(listeners))
    effect <- rnorm(items, sd = 1.5)
    feel <- rnorm(listeners, 1, 0.5)
    score <- round(
      5 + rnorm(listeners)[rows$listener] + feel[rows$listener] * effect[rows$item] + rnorm(nrow(rows)), one_of(1, 12)
    )
    list(rows = lapply(sample(nrow(rows)), function(i) list(
      listener = paste("listener", rows$listener[i]), item = paste("item", rows$item[i]),
      replicate = rows$replicate[i], score = score[i]
    )))
  },
  expected = function(input) {
    column <- function(name, like) vapply(input$rows, function(row) row[[name]], like)
    as_they_come <- function(names) factor(names, unique(names))
    rows <- data.frame(
      listener = as_they_come(column("listener", "")), item = as_they_come(column("item", "")),
      score = column("score", 0)
    )
    table <- anova(lm(score ~ listener * item, rows))
    means <- tapply(rows$score, list(rows$listener, rows$item), mean)
    row <- function(source, i, over) {
      # Over a mean square of nothing but rounding there is no F.
      if (!is.na(over) && table[over, "Mean Sq"] < 1e-20) over <- NA
      f <- if (is.na(over)) NA else table[i, "Mean Sq"] / table[over, "Mean Sq"]
      list(
        source = source, sumOfSquares = table[i, "Sum Sq"], degreesOfFreedom = table[i, "Df"],
        meanSquare = table[i, "Mean Sq"],
        f = f, p = if (is.na(over)) NA else pf(f, table[i, "Df"], table[over, "Df"], lower.tail = FALSE)
      )
    }
    list(
      listeners = lapply(levels(rows$listener), function(name) {
        own <- suppressWarnings(anova(lm(score ~ item, rows[rows$listener == name, ])))
        # A listener who repeats every score has no F.
        exact <- sum(tapply(rows$score, list(rows$listener, rows$item), var)[name, ]) < 1e-20
        others <- colMeans(means[rownames(means) != name, , drop = FALSE])
        # Nor an agreement where one side finds all items alike, but for rounding.
        flat <- min(sd(means[name, ]), sd(others)) < 1e-12
        list(
          listener = name, discriminationF = if (exact) NA else own[1, "F value"],
          discriminationP = if (exact) NA else own[1, "Pr(>F)"],
          repeatabilitySd = sqrt(own[2, "Mean Sq"]),
          agreement = if (flat) NA else cor(means[name, ], others), bias = mean(means[name, ]) - mean(means)
        )
      }),
      panel = list(
        rows = list(row("listener", 1, 4), row("item", 2, 3), row("listener × item", 3, 4), row("residual", 4, NA))
      )
    )
  },
  relative = 1e-9, absolute = 1e-11
)

# Kendall's number of discordant pairs: inserting the k-th of a random order makes 0 to k - 1 of them, each as likely.
discordant_ways <- function(n) {
  ways <- 1
  for (k in seq_len(n)) {
    moved <- lapply(0:(k - 1), function(i) c(numeric(i), ways, numeric(k - 1 - i)))
    ways <- Reduce(`+`, moved) / k
  }
  ways
}
# Spearman's Σd²: by which ranks the first items have taken; the distributions are put together over all subsets of
# ranks.
spearman_ways <- local({
  known <- list()
  function(n) {
    key <- as.character(n)
    if (!is.null(known[[key]])) return(known[[key]])
    length <- n * (n^2 - 1) / 3 + 1
    ways <- list("0" = c(1, numeric(length - 1)))
    for (item in seq_len(n)) {
      wider <- list()
      for (taken in names(ways)) for (rank in seq_len(n)) {
        bit <- bitwShiftL(1L, rank - 1L)
        if (bitwAnd(as.integer(taken), bit) > 0) next
        shift <- (item - rank)^2
        to <- as.character(as.integer(taken) + bit)
        moved <- c(numeric(shift), ways[[taken]])[seq_len(length)]
        wider[[to]] <- if (is.null(wider[[to]])) moved else wider[[to]] + moved
      }
      ways <- wider
    }
    known[[key]] <<- ways[[1]] / factorial(n)
    known[[key]]
  }
})
both_tails <- function(ways, at) min(1, 2 * min(sum(ways[1:at]), sum(rev(ways[at:length(ways)]))))

compare_with_r("correlation",
  fixed = unlist(lapply(c("pearson", "spearman", "kendall"), function(method) list(
    list(
      first = c(44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1),
      second = c(2.6, 3.1, 2.5, 5, 3.6, 4, 5.2, 2.8, 3.8), method = method
    ),
    list(first = c(1, 2, 2, 3, 5), second = c(1, 1, 4, 3, 3), method = method),
    list(first = c(1, 2, 3, 4), second = c(1, 3, 2, 4), method = method),
    list(first = c(1, 2, 4), second = c(2, 1, 3), method = method),
    list(
      first = c(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12), second = c(12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 1, 2),
      method = method
    )
  )), recursive = FALSE),
  draw = function() {
    n <- one_of(whole(4, 9), whole(5, 49), whole(48, 52), whole(50, 150))
    first <- round(rnorm(n), one_of(1, 14))
    second <- round(one_of(0, 1, -3) * first + rnorm(n), one_of(1, 14))
    list(first = first, second = second, method = one_of("pearson", "spearman", "kendall"), level = some_level())
  },
  expected = function(input) {
    n <- length(input$first)
    if (input$method == "pearson") {
      test <- with(input, cor.test(first, second, conf.level = if (is.null(input$level)) 0.95 else input$level))
      limits <- if (n > 3) test$conf.int else c(NA, NA)
      return(list(value = unname(test$estimate), p = test$p.value, lower = limits[1], upper = limits[2]))
    }
    ties <- anyDuplicated(input$first) > 0 || anyDuplicated(input$second) > 0
    value <- with(input, cor(first, second, method = method))
    if (input$method == "spearman" && n <= 9 && !ties) {
      distance <- sum((rank(input$first) - rank(input$second))^2)
      return(list(value = value, p = both_tails(spearman_ways(n), distance + 1)))
    }
    if (input$method == "kendall" && n <= 49 && !ties) {
      return(list(value = value, p = both_tails(discordant_ways(n), round((1 - value) * n * (n - 1) / 4) + 1)))
    }
    approximate <- suppressWarnings(with(input, cor.test(first, second, method = method, exact = FALSE)))
    list(value = value, p = approximate$p.value)
  },
  relative = 1e-9, absolute = 1e-15
)
