# Ratings of samples by listeners.

compare_with_r("summary",
  fixed = list(
    list(values = c(1, 1), level = 0.95), list(values = c(-1, 0, 0, 0, 9), level = 0.9),
    list(values = c(10001.5, 10002.25, 10000.75, 10001.125))
  ),
  draw = function() list(values = round(rnorm(whole(2, 60), 5, 2), one_of(0, 1, 12)), level = some_level()),
  expected = function(input) {
    level <- if (is.null(input$level)) 0.95 else input$level
    values <- input$values
    n <- length(values)
    half <- qt((1 - level) / 2, n - 1, lower.tail = FALSE) * sd(values) / sqrt(n)
    list(
      n = n, mean = mean(values), standardDeviation = sd(values), median = median(values),
      quartiles = unname(quantile(values, c(0.25, 0.75), type = 7)), lower = mean(values) - half,
      upper = mean(values) + half
    )
  },
  relative = 1e-9, absolute = 1e-12
)

some_pairs <- function(n, digits = one_of(0, 1, 12), shift = one_of(0, rnorm(1), rnorm(1, sd = 4))) {
  first <- round(rnorm(n, 5 + shift, 2), digits)
  second <- round(rnorm(n, 5, 2), digits)
  second[1] <- second[1] + (sd(first - second) == 0)
  list(first = first, second = second)
}

# Student's t on the differences; the interval is two-sided whatever the alternative.
compare_with_r("paired-t",
  fixed = list(
    list(first = c(1, 2), second = c(2, 5)), list(first = c(101.5, 102, 103.25), second = c(1, 2, 3)),
    list(
      first = c(0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2),
      second = c(1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)
    )
  ),
  draw = function() c(some_pairs(whole(2, 80)), list(alternative = some_alternative(), level = some_level())),
  expected = function(input) {
    input <- modifyList(list(alternative = "two-sided", level = 0.95), input)
    one <- with(input, t.test(first, second, paired = TRUE, alternative = gsub("-", ".", alternative)))
    limits <- with(input, t.test(first, second, paired = TRUE, conf.level = level))$conf.int
    differences <- input$first - input$second
    list(
      t = unname(one$statistic), degreesOfFreedom = unname(one$parameter), p = one$p.value,
      difference = mean(differences),
      standardError = sd(differences) / sqrt(length(differences)), lower = limits[1], upper = limits[2],
      standardised = mean(differences) / sd(differences)
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# Wilcoxon 1945; Pratt 1959. Conditional on the mid-ranks of the non-zero differences, each sign is as likely as the
# other: the distribution of V is folded from that, in halves of ranks. The normal form beyond 50 is wilcox.test's.
signed_ranks <- function(differences, zeros) {
  ranks <- if (zeros == "pratt") rank(abs(differences)) else rank(abs(differences[differences != 0]))
  signs <- sign(differences)
  if (zeros == "pratt") ranks <- ranks[signs != 0]
  list(ranks = ranks, positive = signs[signs != 0] > 0)
}
wilcoxon_tails <- function(ranks, v) {
  doubled <- round(2 * ranks)
  ways <- 1
  for (r in doubled) ways <- (c(ways, numeric(r)) + c(numeric(r), ways)) / 2
  at <- round(2 * v) + 1
  c(lower = sum(ways[1:at]), upper = sum(rev(ways[at:length(ways)])))
}

compare_with_r("wilcoxon-signed-rank",
  fixed = list(
    list(first = c(1, 2, 3, 4, 5, 6), second = rep(0, 6)), list(first = I(3), second = I(1)),
    list(first = c(1, 2, 2, 0), second = c(1, 1, 4, 1), zeros = "pratt"),
    list(
      first = c(1.83, 0.5, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.3),
      second = c(0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29)
    ),
    list(first = c(rep(1, 30), rep(-1, 20)), second = rep(0, 50)),
    list(first = c(rep(1, 31), rep(-1, 20)), second = rep(0, 51))
  ),
  draw = function() {
    pairs <- some_pairs(one_of(whole(3, 12), whole(8, 50), whole(51, 120)))
    c(pairs, list(alternative = some_alternative(), zeros = one_of("drop", "pratt"), level = one_of(0.95, 0.9, 0.99)))
  },
  expected = function(input) {
    input <- modifyList(list(alternative = "two-sided", zeros = "drop", level = 0.95), input)
    # Differences of decimals: those that are alike but for rounding are ties.
    differences <- signif(round(as.vector(input$first) - as.vector(input$second), 11), 14)
    of <- signed_ranks(differences, input$zeros)
    v <- sum(of$ranks[of$positive])
    n <- length(of$ranks)
    if (n <= 50) {
      tails <- wilcoxon_tails(of$ranks, v)
      p <- switch(
        input$alternative, greater = tails[["upper"]], less = tails[["lower"]], "two-sided" = min(1, 2 * min(tails))
      )
    } else {
      distance <- v - sum(of$ranks) / 2
      correction <- switch(input$alternative, greater = 0.5, less = -0.5, "two-sided" = sign(distance) * 0.5)
      z <- (distance - correction) / sqrt(sum(of$ranks^2) / 4)
      p <- switch(
        input$alternative, greater = pnorm(z, lower.tail = FALSE), less = pnorm(z),
        "two-sided" = min(1, 2 * pnorm(-abs(z)))
      )
    }
    # Hodges and Lehmann 1963: the median of all Walsh averages. Zero differences count in it (Hollander and Wolfe 1973,
    # chapter 3), though wilcox.test leaves them out here too. The interval ends at the k-th average from either end, by
    # the distribution without ties, which is safe with them (Noether 1967); beyond 50 it is approximate and not compared.
    walsh <- outer(differences, differences, "+") / 2
    walsh <- sort(walsh[!lower.tri(walsh)])
    k <- qsignrank((1 - input$level) / 2, length(differences))
    c(
      list(v = v, p = p, exact = n <= 50, nonZero = n, estimate = median(walsh)),
      if (length(differences) <= 50) list(
        lower = if (k > 0) walsh[k] else NA, upper = if (k > 0) rev(walsh)[k] else NA
      )
    )
  },
  relative = 1e-10, absolute = 1e-11
)

# Schuirmann 1987, J. Pharmacokinet. Biopharm. 15:657.
compare_with_r("equivalence",
  fixed = list(
    list(first = c(1, 2), second = c(1.5, 2.25), margin = 3),
    list(first = c(5, 6, 7, 9), second = c(1, 2, 3, 4), margin = 0.5, alpha = 0.1)
  ),
  draw = function() {
    c(
      some_pairs(whole(3, 80), shift = rnorm(1, sd = 0.5)),
      list(margin = one_of(0.5, 1, runif(1, 0.2, 3)), alpha = one_of(0.05, 0.01, 0.1))
    )
  },
  expected = function(input) {
    alpha <- if (is.null(input$alpha)) 0.05 else input$alpha
    above <- with(input, t.test(first, second, paired = TRUE, mu = -margin, alternative = "greater"))$p.value
    below <- with(input, t.test(first, second, paired = TRUE, mu = margin, alternative = "less"))$p.value
    limits <- with(input, t.test(first, second, paired = TRUE, conf.level = 1 - 2 * alpha))$conf.int
    list(p = max(above, below), lower = limits[1], upper = limits[2], equivalent = max(above, below) <= alpha)
  },
  relative = 1e-9, absolute = 1e-12
)

compare_with_r("anova-blocks",
  fixed = list(
    list(scores = rbind(c(1, 2), c(3, 5), c(2, 2))), list(scores = rbind(c(1, 2), c(2, 5))),
    list(scores = rbind(
      c(12, 15, 12, 10), c(10, 14, 13, 12), c(7, 14, 13, 9), c(7, 11, 10, 9), c(8, 11, 8, 7), c(9, 11, 11, 10),
      c(8, 12, 12, 11), c(7, 11, 8, 7), c(9, 13, 10, 8)
    ), level = 0.9),
    list(scores = rbind(c(1, 90, 3), c(2, 91.5, 2.5), c(1.5, 92, 2), c(1, 89, 2)))
  ),
  draw = function() list(
    scores = some_scores(whole(2, 40), whole(2, 7), digits = one_of(1, 12)), level = one_of(0.95, 0.9, 0.99)
  ),
  expected = function(input) {
    level <- if (is.null(input$level)) 0.95 else input$level
    scores <- input$scores
    n <- nrow(scores)
    k <- ncol(scores)
    long <- data.frame(
      score = as.vector(scores), listener = factor(rep(seq_len(n), k)), item = factor(rep(seq_len(k), each = n))
    )
    table <- anova(lm(score ~ item + listener, long))
    mean_square <- table[3, "Mean Sq"]
    df <- table[3, "Df"]
    row <- function(source, i) {
      list(
        source = source, sumOfSquares = table[i, "Sum Sq"], degreesOfFreedom = table[i, "Df"],
        meanSquare = table[i, "Mean Sq"],
        f = if (i == 3) NA else table[i, "F value"], p = if (i == 3) NA else table[i, "Pr(>F)"]
      )
    }
    half <- studentized_range_quantile(1 - level, k, df) * sqrt(mean_square / n)
    list(
      rows = list(row("items", 1), row("listeners", 2), row("residual", 3)), residualMeanSquare = mean_square,
      tukey = each_pair(k, function(i, j) {
        difference <- mean(scores[, i]) - mean(scores[, j])
        q <- abs(difference) / sqrt(mean_square / n)
        list(
          a = i, b = j, difference = difference, lower = difference - half, upper = difference + half,
          p = studentized_range_upper(q, k, df)
        )
      })
    )
  },
  relative = 1e-9, absolute = 1e-12, fields = list(tukey = list(relative = 1e-7, absolute = 1e-12))
)

compare_with_r("adjust-p",
  fixed = unlist(lapply(c("holm", "bonferroni", "benjamini-hochberg"), function(method) list(
    list(p = I(0.03), method = method), list(p = c(0, 1, 0.5, 0.5), method = method),
    list(p = rep(0.01, 6), method = method),
    list(p = c(1e-300, 1e-12, 0.04, 0.04, 0.03, 0.9), method = method)
  )), recursive = FALSE),
  draw = function() list(
    p = I(round(runif(whole(1, 40))^3, one_of(2, 15))), method = one_of("holm", "bonferroni", "benjamini-hochberg")
  ),
  expected = function(input) list(p = I(p.adjust(as.vector(input$p), sub("benjamini-hochberg", "BH", input$method)))),
  relative = 1e-12, absolute = 0
)

# The power of the t test by the non-central t with the far tail included, as power.t.test(strict = TRUE) has it.
compare_with_r("size-for-means",
  fixed = list(
    list(standardDeviation = 1, difference = 1), list(standardDeviation = 1, difference = 20),
    list(standardDeviation = 10, difference = 0.5, alpha = 0.01, beta = 0.01),
    list(standardDeviation = 2, difference = -1, alternative = "less"), list(standardDeviation = 2, difference = -1),
    list(standardDeviation = 1, difference = 100, alternative = "greater"),
    list(standardDeviation = 1, difference = 0.02, alpha = 0.05, beta = 0.1)
  ),
  draw = function() {
    alternative <- some_alternative()
    side <- switch(alternative, less = -1, greater = 1, one_of(1, -1))
    difference <- one_of(runif(1, 0.2, 3), runif(1, 0.05, 0.5)) * side
    list(
      standardDeviation = one_of(1, runif(1, 0.5, 3)), difference = difference, alpha = some_alpha(),
      beta = one_of(0.2, 0.1, 0.05, 0.01), alternative = alternative
    )
  },
  expected = function(input) {
    input <- modifyList(list(alpha = 0.05, beta = 0.05, alternative = "two-sided"), input)
    effect <- input$difference / input$standardDeviation
    power <- function(n) {
      df <- n - 1
      delta <- effect * sqrt(n)
      if (input$alternative == "two-sided") {
        t <- qt(input$alpha / 2, df, lower.tail = FALSE)
        return(non_central_t_upper(t, df, delta) + non_central_t_lower(-t, df, delta))
      }
      non_central_t_upper(qt(input$alpha, df, lower.tail = FALSE), df, abs(delta))
    }
    # Power rises with the number of listeners: halve the span that holds the first that is enough.
    above <- 2
    while (power(above) < 1 - input$beta) above <- above * 2
    below <- max(1, above / 2)
    while (above - below > 1) {
      middle <- floor((above + below) / 2)
      if (power(middle) < 1 - input$beta) below <- middle else above <- middle
    }
    list(listeners = above, power = power(above))
  },
  relative = 1e-9, absolute = 0
)

# Drop: mean liking of those who find it right, less that of the others; p by Welch's t. ASTM MNL 63.
compare_with_r("just-about-right",
  fixed = list(list(liking = c(7, 8, 6, 4, 5, 5, 3), level = c(0, 0, 0, -1, -1, 1, 1))),
  draw = function() {
    n <- whole(8, 150)
    level <- c(-1, -1, 0, 0, 1, 1, sample(c(-1, 0, 0, 1), n - 6, replace = TRUE))
    liking <- round(rnorm(n, 6 - abs(level) * runif(1, 0, 2), 1.3), 1)
    list(liking = liking, level = level)
  },
  expected = function(input) {
    group <- function(which) with(input, list(
      share = mean(level == which), drop = mean(liking[level == 0]) - mean(liking[level == which]),
      p = t.test(liking[level == 0], liking[level == which])$p.value
    ))
    list(low = group(-1), high = group(1))
  },
  relative = 1e-9, absolute = 1e-12
)

# Pearson 1901; Hotelling 1933. prcomp by the singular values of the centred table; at most rows − 1 components. Signs:
# the largest loading in size is positive. Draws keep the variances apart, since equal ones leave the loadings open.
compare_with_r("principal-components",
  fixed = list(
    list(rows = rbind(c(1, 2), c(3, 6), c(5, 4))), list(rows = rbind(c(0, 0, 5), c(3, 4, 5)), scale = FALSE),
    list(rows = unname(as.matrix(USArrests))), list(rows = unname(as.matrix(USArrests)), scale = FALSE),
    list(rows = unname(as.matrix(attitude))), list(rows = unname(t(as.matrix(attitude)))),
    list(rows = matrix(c(1, 2, 4), 3))
  ),
  draw = function() {
    attributes <- whole(1, 12)
    samples <- whole(2, 40)
    rows <- matrix(rnorm(samples * attributes), samples) %*% diag(runif(attributes, 0.2, 3), attributes)
    if (attributes > 1) rows <- rows + rnorm(samples) %o% rnorm(attributes)
    list(rows = round(rows + one_of(0, 5, 1000), one_of(1, 2, 12)), scale = one_of(TRUE, FALSE))
  },
  expected = function(input) {
    scale <- if (is.null(input$scale)) TRUE else input$scale
    found <- prcomp(input$rows, scale. = scale)
    keep <- seq_len(min(nrow(input$rows) - 1, ncol(input$rows)))
    variance <- found$sdev[keep]^2
    # Where two lie close together, or one is rounding, the loadings aren't settled.
    if (length(keep) > 1 && min(-diff(variance)) < 1e-3 * variance[1]) return(NULL)
    if (min(variance) < 1e-6 * variance[1]) return(NULL)
    top <- apply(abs(found$rotation[, keep, drop = FALSE]), 2, function(v) sort(v, decreasing = TRUE)[1:2])
    if (ncol(input$rows) > 2 && any(top[1, ] - top[2, ] < 1e-7)) return(NULL)
    signs <- apply(found$rotation, 2, function(v) sign(v[which(abs(v) > max(abs(v)) - 1e-9)[1]]))
    turned <- function(x) {
      x <- sweep(x, 2, signs, "*")[, keep, drop = FALSE]
      lapply(seq_len(nrow(x)), function(i) I(unname(x[i, ])))
    }
    list(
      loadings = turned(found$rotation), scores = turned(found$x), variance = I(variance),
      share = I(variance / sum(variance))
    )
  },
  relative = 1e-9, absolute = 1e-9
)
