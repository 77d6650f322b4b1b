# Preferences and ticks: shares, scales from paired comparisons, agreement, permutation.

each_pair <- function(k, f) {
  pairs <- list()
  for (i in seq_len(k - 1)) for (j in (i + 1):k) pairs <- c(pairs, list(f(i, j)))
  pairs
}

compare_with_r("paired-preference",
  fixed = list(
    list(first = 0, second = 7), list(first = 7, second = 0, alternative = "greater"),
    list(first = 30, second = 18, none = 12),
    list(first = 30, second = 18, none = 12, noneRule = "split"),
    list(first = 30, second = 18, none = 13, noneRule = "split"),
    list(first = 18, second = 30, none = 13, noneRule = "split"),
    list(first = 4, second = 9, none = 6, noneRule = "proportional"),
    list(first = 3, second = 3, none = 4, noneRule = "split")
  ),
  draw = function() {
    counts <- rbinom(2, one_of(12, 60, 400), runif(2, 0.1, 0.9)) + 1
    list(
      first = counts[1], second = counts[2] + (counts[1] == counts[2]), none = one_of(0, whole(0, 30)),
      noneRule = one_of("drop", "split", "proportional"), alternative = some_alternative(), level = some_level()
    )
  },
  expected = function(input) {
    input <- modifyList(list(none = 0, noneRule = "drop", alternative = "two-sided", level = 0.95), input)
    with(input, {
      # Half of those without a preference each; an odd one counts against the leader.
      to_first <- if (noneRule == "split") (if (first > second) floor(none / 2) else ceiling(none / 2)) else 0
      used <- first + second + if (noneRule == "split") none else 0
      wins <- first + to_first
      limits <- share_interval(wins, used, level, "clopper-pearson")
      list(
        share = wins / used, p = exact_p(wins, used, 0.5, alternative), lower = limits[1], upper = limits[2],
        trialsUsed = used
      )
    })
  },
  relative = 1e-10, absolute = 0
)

# Fisher's scoring from where glm ends until nothing moves: glm weighs its last step by the estimates before it.
scored <- function(estimate, design, y, mean, slope, variance) {
  for (i in 1:60) {
    eta <- as.vector(design %*% estimate)
    weight <- slope(eta) / variance(eta)
    information <- t(design) %*% (design * (weight * slope(eta)))
    estimate <- estimate + as.vector(solve(information, t(design) %*% ((y - mean(eta)) * weight)))
  }
  list(estimate = estimate, covariance = solve(information))
}

# Bradley and Terry 1952 as the logistic regression that it is, Thurstone 1927 with the probit; an order effect is the
# intercept, since with log weights λᵢ and log γ + λⱼ the log odds of the first are λᵢ − λⱼ − log γ.
wins_model <- function(rows, differences, order, link) {
  design <- if (order) cbind(differences, 1) else differences
  n <- rows[, 3] + rows[, 4]
  family <- binomial(link)
  fit <- suppressWarnings(glm(
    cbind(rows[, 3], rows[, 4]) ~ 0 + design,
    family = family, control = glm.control(epsilon = 1e-14, maxit = 200)
  ))
  final <- scored(
    coef(fit), design, rows[, 3],
    function(eta) n * family$linkinv(eta), function(eta) n * family$mu.eta(eta),
    function(eta) n * family$linkinv(eta) * family$linkinv(-eta)
  )
  eta <- as.vector(design %*% final$estimate)
  kernel <- rows[, 3] * log(family$linkinv(eta)) + rows[, 4] * log(family$linkinv(-eta))
  c(final, list(kernel = sum(kernel), df = df.residual(fit)))
}

# Davidson 1970, and with order Davidson and Beaver 1977, as a log-linear model of the three counts of each row, whose
# sum has a parameter of its own.
ties_model <- function(rows, differences, order) {
  r <- nrow(rows)
  k <- ncol(differences)
  # Log weights λᵢ, λⱼ + log γ and log ν + (λᵢ + λⱼ)/2, less the mean of the first and the last of them.
  effects <- rbind(
    cbind(differences / 2, 0, 0), cbind(-differences / 2, 0, -1), cbind(matrix(0, r, k), 1, 0)
  )
  if (!order) effects <- effects[, -ncol(effects), drop = FALSE]
  design <- cbind(effects, rbind(diag(r), diag(r), diag(r)))
  y <- c(rows[, 3], rows[, 4], rows[, 5])
  fit <- suppressWarnings(glm(
    y ~ 0 + design,
    family = poisson, control = glm.control(epsilon = 1e-14, maxit = 200)
  ))
  final <- scored(coef(fit), design, y, exp, exp, exp)
  # The columns of ν and order change places, so that order stands where `wins_model` has it.
  own <- c(seq_len(k), if (order) k + 2, k + 1)
  mu <- exp(as.vector(design %*% final$estimate))
  n <- rep(rowSums(rows[, 3:5, drop = FALSE]), 3)
  list(
    estimate = final$estimate[own], covariance = final$covariance[own, own], kernel = sum(y * log(mu / n)),
    df = df.residual(fit)
  )
}

bradley_terry <- function(input) {
  items <- unlist(input$items)
  k <- length(items)
  half <- identical(input$ties, "half")
  davidson <- identical(input$ties, "davidson")
  order <- isTRUE(input$orderEffect)
  link <- if (is.null(input$link)) "logit" else input$link
  rows <- lapply(input$comparisons, function(row) {
    ties <- if (is.null(row$ties)) 0 else row$ties
    added <- if (half) ties / 2 else 0
    c(
      match(row$first, items), match(row$second, items), row$firstWins + added, row$secondWins + added,
      if (davidson) ties else 0
    )
  })
  rows <- do.call(rbind, rows)
  design <- matrix(0, nrow(rows), k)
  design[cbind(seq_len(nrow(rows)), rows[, 1])] <- 1
  design[cbind(seq_len(nrow(rows)), rows[, 2])] <- -1
  free <- design[, -1, drop = FALSE] # the first item is the reference
  fit <- if (davidson) ties_model(rows, free, order) else wins_model(rows, free, order, link)
  center <- diag(k) - 1 / k
  own <- seq_len(k - 1)
  worth <- as.vector(center %*% c(0, fit$estimate[own]))
  covariance <- center %*% rbind(0, cbind(0, fit$covariance[own, own])) %*% t(center)
  standard_error <- sqrt(diag(covariance))
  error_of <- function(i) sqrt(fit$covariance[i, i])
  level <- if (is.null(input$level)) 0.95 else input$level
  z <- qnorm((1 - level) / 2, lower.tail = FALSE)
  y <- rows[, 3:5, drop = FALSE]
  n <- rowSums(y)
  # A half win makes the coefficient one of gamma functions.
  log_likelihood <- fit$kernel + sum(lgamma(n + 1)) - sum(lgamma(y + 1))
  saturated <- sum(ifelse(y == 0, 0, y * log(y / n)))
  pairs <- each_pair(k, function(i, j) {
    difference <- worth[i] - worth[j]
    error <- sqrt(covariance[i, i] + covariance[j, j] - 2 * covariance[i, j])
    list(
      a = items[i], b = items[j], difference = difference, standardError = error,
      p = 2 * pnorm(-abs(difference) / error)
    )
  })
  adjusted <- p.adjust(vapply(pairs, function(pair) pair$p, 0), "holm")
  values <- list(
    items = lapply(seq_len(k), function(i) {
      item <- list(
        item = items[i], logWorth = worth[i], standardError = standard_error[i],
        lower = worth[i] - z * standard_error[i], upper = worth[i] + z * standard_error[i]
      )
      if (link == "logit") item$worth <- exp(worth[i]) / sum(exp(worth))
      item
    }),
    logLik = log_likelihood, deviance = 2 * (saturated - fit$kernel), degreesOfFreedom = fit$df,
    pairs = Map(function(pair, p) c(pair, list(pAdjusted = p)), pairs, adjusted)
  )
  if (order) {
    # Of either model the coefficient is −log γ.
    first <- fit$estimate[k]
    values$orderEffect <- list(
      logWorth = first, standardError = error_of(k), p = 2 * pnorm(-abs(first) / error_of(k))
    )
  }
  if (davidson) {
    tie <- length(fit$estimate)
    values$tieParameter <- list(
      nu = exp(fit$estimate[tie]), logNu = fit$estimate[tie], standardError = error_of(tie)
    )
  }
  values
}

some_comparisons <- function(k, both_orders = FALSE) {
  items <- paste0("item ", sample(LETTERS, k))
  strength <- rnorm(k, sd = 0.7)
  comparisons <- list()
  for (i in seq_len(k)) for (j in seq_len(k)) if (i < j || (both_orders && i != j)) {
    n <- whole(3, 40)
    wins <- min(max(rbinom(1, n, plogis(strength[i] - strength[j])), 1), n - 1)
    comparisons <- c(comparisons, list(
      list(
        first = items[i], second = items[j], firstWins = wins, secondWins = n - wins, ties = one_of(0, whole(0, 6))
      )
    ))
  }
  # Not all pairs need be compared, as long as a chain connects the items: here first and second, second and third, …
  beside <- vapply(comparisons, function(row) abs(match(row$first, items) - match(row$second, items)) == 1, TRUE)
  list(items = as.list(items), comparisons = comparisons[beside | runif(length(comparisons)) < 0.8])
}

compare_with_r("bradley-terry",
  fixed = list(
    list(items = list("a", "b"), comparisons = list(list(first = "b", second = "a", firstWins = 3, secondWins = 9))),
    list(items = list("a", "b", "c"), comparisons = list(
      list(first = "a", second = "b", firstWins = 1, secondWins = 0),
      list(first = "b", second = "c", firstWins = 1, secondWins = 0),
      list(first = "c", second = "a", firstWins = 1, secondWins = 0)
    )),
    # A ring that goes round once: the order effect stands on it alone.
    list(items = list("a", "b", "c"), orderEffect = TRUE, comparisons = list(
      list(first = "a", second = "b", firstWins = 5, secondWins = 2),
      list(first = "b", second = "c", firstWins = 4, secondWins = 3),
      list(first = "c", second = "a", firstWins = 2, secondWins = 3)
    )),
    # Chains of ties join where nobody loses.
    list(items = list("a", "b", "c"), ties = "davidson", comparisons = list(
      list(first = "a", second = "b", firstWins = 3, secondWins = 0, ties = 1),
      list(first = "b", second = "c", firstWins = 2, secondWins = 1, ties = 1)
    ))
  ),
  draw = function() {
    order <- one_of(TRUE, FALSE)
    drawn <- some_comparisons(whole(2, 7), order || one_of(TRUE, FALSE))
    ties <- one_of("none", "half", "davidson")
    if (ties == "davidson") drawn$comparisons[[1]]$ties <- whole(1, 6)
    link <- if (ties == "davidson") "logit" else one_of("logit", "probit")
    c(drawn, list(ties = ties, orderEffect = order, link = link, level = some_level()))
  },
  expected = bradley_terry,
  # The catalogue asks 1e-5 of estimates; both fits go on to the last digits.
  relative = 1e-9, absolute = 1e-10
)

# Thurstone 1927, case V; Mosteller 1951, Psychometrika 16:3.
compare_with_r("thurstone-case-v",
  fixed = list(
    list(items = list("a", "b"), wins = rbind(c(0, 1), c(99, 0))),
    list(items = list("a", "b", "c"), proportions = matrix(0.5, 3, 3))
  ),
  draw = function() {
    k <- whole(2, 7)
    items <- as.list(paste("item", seq_len(k)))
    if (whole(0, 1) == 1) {
      wins <- matrix(sample(1:30, k * k, replace = TRUE), k)
      diag(wins) <- 0
      return(list(items = items, wins = wins))
    }
    proportions <- matrix(0.5, k, k)
    for (i in seq_len(k)) for (j in seq_len(k)) if (i < j) {
      # Hundredths of which both sides add up to 1 however they are rounded.
      proportions[i, j] <- whole(1, 127) / 128
      proportions[j, i] <- 1 - proportions[i, j]
    }
    list(items = items, proportions = proportions)
  },
  expected = function(input) {
    share <- if (is.null(input$wins)) input$proportions else input$wins / (input$wins + t(input$wins))
    diag(share) <- 0.5
    list(scale = I(rowSums(qnorm(share)) / nrow(share)))
  },
  relative = 1e-9, absolute = 1e-12
)

# Kendall and Babington Smith 1940, Biometrika 31:324.
circular_triads <- function(wins) {
  n <- length(wins)
  n * (n - 1) * (2 * n - 1) / 12 - sum(wins^2) / 2
}

# The number of circular triads of each of the 2^(n(n-1)/2) ways in which n items can be compared, written out.
all_circular_triads <- local({
  known <- list()
  function(n) {
    key <- as.character(n)
    if (is.null(known[[key]])) {
      way <- 0:(2^(n * (n - 1) / 2) - 1)
      wins <- rep(list(0), n)
      bit <- 0
      for (i in seq_len(n - 1)) for (j in (i + 1):n) {
        first <- bitwAnd(way, bitwShiftL(1L, bit)) > 0
        wins[[i]] <- wins[[i]] + first
        wins[[j]] <- wins[[j]] + !first
        bit <- bit + 1
      }
      squares <- Reduce(`+`, lapply(wins, function(w) w^2))
      known[[key]] <<- table(n * (n - 1) * (2 * n - 1) / 12 - squares / 2)
    }
    known[[key]]
  }
})

some_tournament <- function(n, order) {
  preferences <- matrix(0, n, n)
  for (i in seq_len(n)) for (j in seq_len(n)) if (i < j) {
    first <- runif(1) < order
    preferences[i, j] <- first
    preferences[j, i] <- !first
  }
  shuffled <- sample(n)
  preferences[shuffled, shuffled]
}

compare_with_r("circular-triads",
  fixed = lapply(3:9, function(n) list(preferences = 1 * lower.tri(matrix(0, n, n)))),
  draw = function() list(preferences = some_tournament(one_of(whole(3, 7), whole(8, 25)), one_of(0.5, 0.8, 0.95))),
  expected = function(input) {
    n <- nrow(input$preferences)
    triads <- circular_triads(rowSums(input$preferences))
    maximum <- if (n %% 2 == 1) (n^3 - n) / 24 else (n^3 - 4 * n) / 24
    if (n <= 7) {
      ways <- all_circular_triads(n)
      p <- sum(ways[as.numeric(names(ways)) <= triads]) / sum(ways)
    } else {
      df <- n * (n - 1) * (n - 2) / (n - 4)^2
      p <- pchisq(8 / (n - 4) * (choose(n, 3) / 4 - triads + 0.5) + df, df, lower.tail = FALSE)
    }
    list(triads = triads, maximum = maximum, zeta = 1 - triads / maximum, p = p, exact = n <= 7)
  },
  relative = 1e-10, absolute = 1e-14
)

# Kendall and Babington Smith 1940; χ² without continuity correction as in Kendall 1970, Rank Correlation Methods,
# chapter 11.
compare_with_r("coefficient-of-agreement",
  fixed = list(
    list(wins = rbind(c(0, 3, 3), c(0, 0, 3), c(0, 0, 0)), listeners = 3),
    list(wins = rbind(c(0, 2), c(2, 0)), listeners = 4)
  ),
  draw = function() {
    k <- whole(3, 8)
    m <- whole(3, 40)
    order <- one_of(0.5, 0.6, 0.8)
    wins <- matrix(0, k, k)
    for (i in seq_len(k)) for (j in seq_len(k)) if (i < j) {
      wins[i, j] <- rbinom(1, m, order)
      wins[j, i] <- m - wins[i, j]
    }
    list(wins = wins, listeners = m)
  },
  expected = function(input) {
    k <- nrow(input$wins)
    m <- input$listeners
    agreeing <- sum(choose(input$wins, 2))
    chi_square <- 4 / (m - 2) * (agreeing - choose(k, 2) * choose(m, 2) * (m - 3) / (2 * (m - 2)))
    df <- choose(k, 2) * m * (m - 1) / (m - 2)^2
    list(
      u = 2 * agreeing / (choose(m, 2) * choose(k, 2)) - 1, chiSquare = chi_square, degreesOfFreedom = df,
      p = pchisq(chi_square, df, lower.tail = FALSE)
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# All 2^n sign vectors. Sums that differ by rounding only are ties.
compare_with_r("sign-flip",
  fixed = list(
    list(perListener = I(2)), list(perListener = c(0, 0, 1)),
    list(perListener = c(1, 1, 1, 1, 1, 1), alternative = "greater"),
    list(perListener = c(0.3 - 0.2, 0.2 - 0.1, 0.1, -0.1)), list(perListener = rep(c(1, -1), 8)),
    list(perListener = c(1:18, -19, -20)),
    list(perListener = c(0.1, 0.2, -0.3, 0.4, 0.7, -0.6, 0.5), alternative = "less")
  ),
  draw = function() {
    n <- one_of(whole(1, 8), whole(5, 16))
    figures <- one_of(
      sample(-4:4, n, replace = TRUE), round(rnorm(n, 0.4), 1), rnorm(n, 0.3),
      sample(c(-0.5, 0.5, 0), n, replace = TRUE)
    )
    list(perListener = I(figures), alternative = some_alternative())
  },
  expected = function(input) {
    figures <- as.vector(input$perListener)
    sums <- 0
    for (figure in figures) sums <- c(sums + figure, sums - figure)
    tie <- 1e-12 * sum(abs(figures))
    seen <- sum(figures)
    alternative <- if (is.null(input$alternative)) "two-sided" else input$alternative
    p <- switch(alternative,
      greater = mean(sums >= seen - tie), less = mean(sums <= seen + tie),
      "two-sided" = mean(abs(sums) >= abs(seen) - tie)
    )
    list(mean = mean(figures), p = p, exact = TRUE)
  },
  relative = 1e-10, absolute = 1e-15
)

# All ways to deal the listeners, by combn audience after audience; Pitman 1938, Biometrika 29:322. One listener may have
# several rows, of which the mean counts.
compare_with_r("audience-interaction",
  fixed = list(
    list(rows = list(
      list(listener = "P1", audience = "home", value = 1), list(listener = "P2", audience = "stage", value = 5)
    )),
    list(rows = lapply(1:8, function(i) list(listener = i, audience = if (i > 5) "b" else "a", value = 0.1)))
  ),
  draw = function() {
    audiences <- sample(c("home", "stage", "club")[seq_len(whole(2, 3))], whole(4, 9), replace = TRUE)
    audiences[1:2] <- c("home", "stage")
    listeners <- rep(seq_along(audiences), times = sample(1:3, length(audiences), replace = TRUE))
    digits <- one_of(0, 1, 12)
    measure <- one_of("value", "wins")
    list(rows = lapply(listeners, function(i) {
      figure <- if (measure == "wins") whole(0, 4) else round(rnorm(1, (audiences[i] == "home") * 1), digits)
      c(list(listener = paste0("P", i), audience = audiences[i]), setNames(list(figure), measure))
    }))
  },
  expected = function(input) {
    names <- vapply(input$rows, function(row) as.character(row$listener), "")
    figures <- vapply(input$rows, function(row) if (is.null(row$value)) row$wins else row$value, 0)
    figure <- tapply(figures, factor(names, unique(names)), mean)
    audience <- vapply(input$rows, function(row) row$audience, "")[match(unique(names), names)]
    sizes <- table(factor(audience, unique(audience)))
    apart <- function(of) {
      means <- tapply(figure, factor(of, unique(audience)), mean)
      sum(sizes * (means - mean(figure))^2)
    }
    deals <- list(rep(NA_character_, length(figure)))
    for (name in names(sizes)) {
      deals <- unlist(lapply(deals, function(deal) {
        free <- which(is.na(deal))
        lapply(combn(length(free), sizes[[name]], simplify = FALSE), function(taken) {
          deal[free[taken]] <- name
          deal
        })
      }), recursive = FALSE)
    }
    statistic <- apart(audience)
    tie <- 1e-11 * sum((figure - mean(figure))^2)
    list(
      statistic = statistic, p = mean(vapply(deals, apart, 0) >= statistic - tie), exact = TRUE,
      permutations = length(deals)
    )
  },
  relative = 1e-9, absolute = 1e-12
)

# A share with the listener as the unit, after Korn and Graubard 1998, Survey Methodology 24:193: Clopper and Pearson's
# limits at an effective number of trials. Kept between the numbers of listeners and trials; without spread, and for one
# listener, it is the number of listeners (both of these rules are the project's own).
compare_with_r("clustered-share-interval",
  fixed = list(
    list(listeners = list(list(share = 0.5, trials = 4))),
    list(listeners = list(list(share = 1, trials = 4), list(share = 1, trials = 9))),
    list(
      listeners = list(list(wins = 0, trials = 3), list(wins = 0, trials = 3), list(wins = 1, trials = 3)),
      level = 0.9
    ),
    list(listeners = lapply(c(1, 0, 1, 0, 1, 1), function(share) list(share = share, trials = 20)))
  ),
  draw = function() {
    p <- rbeta(1, 2, 2)
    spread <- one_of(1, 5, 50)
    list(listeners = lapply(seq_len(whole(2, 30)), function(i) {
      trials <- whole(1, 12)
      wins <- rbinom(1, trials, rbeta(1, spread * p, spread * (1 - p)))
      if (whole(0, 1) == 1) list(wins = wins, trials = trials) else list(share = wins / trials, trials = trials)
    }), level = some_level())
  },
  expected = function(input) {
    level <- if (is.null(input$level)) 0.95 else input$level
    shares <- vapply(input$listeners, function(of) if (is.null(of$share)) of$wins / of$trials else of$share, 0)
    trials <- sum(vapply(input$listeners, function(of) of$trials, 0))
    n <- length(shares)
    share <- mean(shares)
    t_squared <- function(df) qt((1 - level) / 2, df)^2
    if (n == 1 || var(shares) == 0) {
      effective <- n
    } else {
      effective <- share * (1 - share) / (var(shares) / n) * t_squared(trials - 1) / t_squared(n - 1)
      effective <- min(max(effective, n), trials)
    }
    x <- share * effective
    list(
      share = share, effectiveTrials = effective,
      lower = if (x == 0) 0 else beta_quantile((1 - level) / 2, x, effective - x + 1),
      upper = if (x == effective) 1 else beta_quantile((1 - level) / 2, x + 1, effective - x, lower.tail = FALSE)
    )
  },
  relative = 1e-9, absolute = 1e-12
)
