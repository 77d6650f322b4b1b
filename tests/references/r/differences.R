# Difference tests: exact binomial tests, intervals, sizes, and distances from shares of right answers.

fuzz <- 1 + 1e-12 # a risk met exactly counts as kept

# The two-sided p of every count: all outcomes no more probable than it (tolerance 1e-7, as binom.test has it).
two_sided_p <- function(n, p0) {
  density <- dbinom(0:n, n, p0)
  rising <- sort(density)
  cumsum(rising)[findInterval(density * (1 + 1e-7), rising)]
}

exact_p <- function(x, n, p0, alternative) {
  switch(alternative,
    greater = pbinom(x - 1, n, p0, lower.tail = FALSE),
    less = pbinom(x, n, p0),
    "two-sided" = min(1, two_sided_p(n, p0)[x + 1])
  )
}

# Lancaster's mid-p (1961): outcomes as extreme as the one seen count half.
mid_p <- function(x, n, p0, alternative) {
  density <- dbinom(0:n, n, p0)
  seen <- density[x + 1]
  alike <- if (alternative == "two-sided") sum(density[abs(density - seen) <= 1e-7 * seen]) else seen
  exact_p(x, n, p0, alternative) - alike / 2
}

compare_with_r("binomial-test",
  fixed = list(
    list(correct = 0, trials = 10, chance = 0.5, alternative = "greater"),
    list(correct = 10, trials = 10, chance = 0.5, alternative = "greater"),
    list(correct = 0, trials = 1, chance = 1 / 3, alternative = "two-sided"),
    list(correct = 1, trials = 1, chance = 1 / 3, alternative = "less"),
    list(correct = 1000, trials = 1000, chance = 1 / 10, alternative = "greater"),
    list(correct = 5000, trials = 20000, chance = 1 / 10, alternative = "two-sided"),
    list(correct = 9000, trials = 20000, chance = 1 / 2, alternative = "less"),
    list(correct = 12, trials = 24, chance = 1 / 2, alternative = "two-sided")
  ),
  draw = function() {
    trials <- some_trials()
    chance <- some_chance()
    list(correct = some_correct(trials, chance), trials = trials, chance = chance, alternative = some_alternative())
  },
  expected = function(input) with(input, list(
    p = exact_p(correct, trials, chance, alternative),
    midP = mid_p(correct, trials, chance, alternative),
    proportion = correct / trials
  )),
  relative = 1e-10, absolute = 0
)

# Clopper and Pearson 1934; Wilson 1927; Jeffreys and Agresti-Coull as in Brown, Cai and DasGupta 2001, Stat. Sci.
# 16:101; mid-p as in Newcombe 1998, Stat. Med. 17:857.
share_interval <- function(x, n, level, method) {
  tail <- (1 - level) / 2
  z <- qnorm(tail, lower.tail = FALSE)
  clipped <- function(middle, half) c(max(0, middle - half), min(1, middle + half))
  log_ratio <- function(p) log(max(p, 1e-320)) - log(tail)
  above <- function(p) log_ratio(pbinom(x, n, p, lower.tail = FALSE) + dbinom(x, n, p) / 2)
  below <- function(p) log_ratio(pbinom(x - 1, n, p) + dbinom(x, n, p) / 2)
  switch(method,
    "clopper-pearson" = c(
      if (x == 0) 0 else beta_quantile(tail, x, n - x + 1),
      if (x == n) 1 else beta_quantile(tail, x + 1, n - x, lower.tail = FALSE)
    ),
    wilson = {
      middle <- (x + z^2 / 2) / (n + z^2)
      half <- z * sqrt(x * (n - x) / n + z^2 / 4) / (n + z^2)
      clipped(middle, half)
    },
    jeffreys = c(
      if (x == 0) 0 else beta_quantile(tail, x + 0.5, n - x + 0.5),
      if (x == n) 1 else beta_quantile(tail, x + 0.5, n - x + 0.5, lower.tail = FALSE)
    ),
    "mid-p" = c(
      if (x == 0) 0 else root(above, 1e-300, 1 - 1e-16),
      if (x == n) 1 else root(below, 1e-300, 1 - 1e-16)
    ),
    "agresti-coull" = {
      middle <- (x + z^2 / 2) / (n + z^2)
      clipped(middle, z * sqrt(middle * (1 - middle) / (n + z^2)))
    }
  )
}

interval_methods <- c("clopper-pearson", "wilson", "jeffreys", "mid-p", "agresti-coull")
edge_intervals <- list()
for (method in interval_methods) {
  for (correct in c(0, 1, 19, 20)) {
    edge_intervals <- c(edge_intervals, list(list(correct = correct, trials = 20, level = 0.95, method = method)))
  }
  edge_intervals <- c(edge_intervals, list(
    list(correct = 1, trials = 1, level = 0.9, method = method),
    list(correct = 333, trials = 100000, level = 0.99, method = method),
    list(correct = 7, trials = 30, level = 0.99999, method = method),
    list(correct = 7, trials = 30, level = 0.01, method = method)
  ))
}

compare_with_r("proportion-interval",
  fixed = edge_intervals,
  draw = function() {
    trials <- some_trials()
    list(
      correct = some_correct(trials, some_chance()), trials = trials, level = some_level(),
      method = sample(interval_methods, 1)
    )
  },
  expected = function(input) {
    limits <- with(input, share_interval(correct, trials, level, method))
    list(lower = limits[1], upper = limits[2])
  },
  # Wilson's and Agresti and Coull's lower limits near 0 are a difference of two nearly equal figures.
  relative = 1e-10, absolute = 1e-14
)

# Fewest right answers with P(X ≥ count) ≤ alpha, for each n; n + 1 where there is none.
fewest_significant <- function(n, p0, alpha) {
  count <- pmax(0, qbinom(alpha, n, p0, lower.tail = FALSE) - 1)
  repeat {
    too_few <- count <= n & pbinom(count - 1, n, p0, lower.tail = FALSE) > alpha * fuzz
    if (!any(too_few)) return(count)
    count[too_few] <- count[too_few] + 1
  }
}

# Most right answers with P(X ≤ count) ≤ beta, for each n; -1 where there is none.
most_insignificant <- function(n, p, beta) {
  count <- pmin(n, qbinom(beta, n, p) + 1)
  repeat {
    too_many <- count >= 0 & pbinom(count, n, p) > beta * fuzz
    if (!any(too_many)) return(count)
    count[too_many] <- count[too_many] - 1
  }
}

# Count, attained risk and power of each n, for a vector of n.
exact_test <- function(n, p0, alpha, alternative, truth = p0) {
  if (alternative == "greater") {
    count <- fewest_significant(n, p0, alpha)
    none <- count > n
    risk <- pbinom(count - 1, n, p0, lower.tail = FALSE)
    power <- pbinom(count - 1, n, truth, lower.tail = FALSE)
  } else if (alternative == "less") {
    count <- most_insignificant(n, p0, alpha)
    none <- count < 0
    risk <- pbinom(count, n, p0)
    power <- pbinom(count, n, truth)
  } else {
    each <- vapply(n, function(size) {
      significant <- two_sided_p(size, p0) <= alpha * fuzz
      larger <- which(significant & 0:size > size * p0)
      c(
        if (length(larger) > 0) larger[1] - 1 else NA,
        sum(dbinom(0:size, size, p0)[significant]), sum(dbinom(0:size, size, truth)[significant])
      )
    }, numeric(3))
    # Where chance is above 1/2 the smaller side may be significant alone: then there is no count, but risk and power.
    return(list(count = each[1, ], risk = each[2, ], power = each[3, ]))
  }
  list(count = ifelse(none, NA, count), risk = ifelse(none, 0, risk), power = ifelse(none, 0, power))
}

compare_with_r("critical-count",
  fixed = list(
    list(trials = 4, chance = 0.5, alpha = 0.0625, alternative = "greater"), # P(X ≥ 4) = 1/16 exactly
    list(trials = 5, chance = 0.5, alpha = 0.0625, alternative = "two-sided"), # p of 5 and 0 = 1/16 exactly
    list(trials = 3, chance = 0.5, alpha = 0.05, alternative = "greater"),
    list(trials = 2, chance = 1 / 10, alpha = 0.01, alternative = "less"),
    list(trials = 1, chance = 1 / 3, alpha = 0.05, alternative = "two-sided"),
    list(trials = 3, chance = 0.9, alpha = 0.05, alternative = "two-sided"), # 0 is significant and 3 is not
    list(trials = 100000, chance = 1 / 3, alpha = 0.001, alternative = "greater")
  ),
  draw = function() {
    list(
      trials = some_trials(), chance = some_chance(), alpha = some_alpha(),
      alternative = some_alternative()
    )
  },
  expected = function(input) {
    test <- with(input, exact_test(trials, chance, alpha, alternative))
    list(count = test$count, attainedAlpha = test$risk)
  },
  relative = 1e-10, absolute = 0
)

compare_with_r("similarity-count",
  fixed = list(
    list(trials = 3, chance = 1 / 2, pd = 0.2, beta = 0.05), list(trials = 2, chance = 1 / 3, pd = 1, beta = 0.05),
    list(trials = 60, chance = 1 / 3, pd = 0.3, beta = 0.001),
    list(trials = 5, chance = 1 / 2, pd = 0.0001, beta = 0.03125)
  ),
  draw = function() {
    list(trials = some_trials(), chance = one_of(1 / 2, 1 / 3, 1 / 10), pd = runif(1, 0.02, 0.9), beta = some_alpha())
  },
  expected = function(input) {
    count <- with(input, most_insignificant(trials, chance + pd * (1 - chance), beta))
    list(count = if (count < 0) NA else count)
  },
  relative = 0, absolute = 0
)

# The truth as a share of listeners who hear it, as a proportion, or as a distance and a method.
some_truth <- function(alternative) {
  kind <- whole(1, 3)
  if (kind == 1) return(list(chance = one_of(1 / 2, 1 / 3, 1 / 10), pd = round(runif(1, 0.15, 0.8), whole(1, 12))))
  if (kind == 2) {
    chance <- one_of(1 / 2, 1 / 3, 1 / 4)
    below <- chance * runif(1, 0.1, 0.6)
    above <- chance + (1 - chance) * runif(1, 0.2, 0.9)
    proportion <- if (alternative == "less") below else above
    return(list(chance = chance, proportion = proportion))
  }
  method <- sample(names(psychometric), 1)
  list(dPrime = round(runif(1, 1.1, 3), whole(1, 12)), method = method)
}
chance_of <- function(input) {
  if (!is.null(input$chance)) return(input$chance)
  if (is.null(input$method)) 0.5 else psychometric[[input$method]]$chance
}
truth_of <- function(input) {
  chance <- chance_of(input)
  if (!is.null(input$pd)) return(chance + input$pd * (1 - chance))
  if (!is.null(input$proportion)) return(input$proportion)
  psychometric[[input$method]]$share(input$dPrime)
}

compare_with_r("power",
  fixed = list(
    list(trials = 3, chance = 0.5, pd = 0.5, alpha = 0.05), list(trials = 10, chance = 0.5, pd = 1, alpha = 0.05),
    list(trials = 30, chance = 1 / 3, pd = 0, alpha = 0.05),
    list(trials = 40, proportion = 0.1, alternative = "two-sided"),
    list(trials = 5, chance = 0.5, proportion = 0, alternative = "less"),
    list(trials = 50, dPrime = 0, method = "tetrad"),
    list(trials = 300, dPrime = 0.5, method = "triangle", alpha = 0.01)
  ),
  draw = function() {
    alternative <- some_alternative()
    c(list(trials = some_trials(), alpha = some_alpha(), alternative = alternative), some_truth(alternative))
  },
  expected = function(input) {
    alpha <- if (is.null(input$alpha)) 0.05 else input$alpha
    alternative <- if (is.null(input$alternative)) "greater" else input$alternative
    test <- exact_test(input$trials, chance_of(input), alpha, alternative, truth_of(input))
    list(power = test$power, count = test$count, attainedAlpha = test$risk)
  },
  relative = 1e-10, absolute = 1e-300 # below, doubles lose digits
)

# Smallest: first size that is enough. Lasting: first from which on all are. Sizes are looked at far beyond either.
enough_from <- function(power_of, target, at_least = 300) {
  end <- at_least
  repeat {
    power <- power_of(1:end)
    enough <- power >= target * (1 - 1e-14)
    if (any(enough) && which(enough)[1] * 2 + 60 < end) break
    end <- end * 2
  }
  c(which(enough)[1], max(which(!enough), 0) + 1)
}

compare_with_r("sample-size",
  fixed = list(
    list(chance = 0.5, pd = 1, alpha = 0.05, beta = 0.05), list(chance = 1 / 3, pd = 0.15, alpha = 0.05, beta = 0.05),
    list(chance = 0.5, pd = 0.05, alpha = 0.05, beta = 0.05),
    list(chance = 0.5, proportion = 0.9, alpha = 0.05, beta = 0.001, alternative = "two-sided"),
    list(dPrime = 1, method = "triangle", alpha = 0.05, beta = 0.1), list(dPrime = 2, method = "2-afc"),
    list(chance = 0.5, proportion = 0.2, alternative = "less", alpha = 0.01, beta = 0.2)
  ),
  draw = function() {
    alternative <- one_of("greater", "greater", "less", "two-sided")
    truth <- some_truth(alternative)
    while (alternative == "less" && is.null(truth$proportion)) truth <- some_truth(alternative)
    if (alternative == "two-sided" && !is.null(truth$pd)) truth$pd <- max(truth$pd, 0.3)
    c(list(alpha = some_alpha(), beta = one_of(0.2, 0.1, 0.05, 0.01), alternative = alternative), truth)
  },
  expected = function(input) {
    input <- modifyList(list(alpha = 0.05, beta = 0.05, alternative = "greater"), input)
    truth <- truth_of(input)
    test <- function(n) exact_test(n, chance_of(input), input$alpha, input$alternative, truth)
    sizes <- enough_from(
      function(n) test(n)$power, 1 - input$beta, if (input$alternative == "two-sided") 150 else 300
    )
    at <- test(sizes)
    each <- function(i) list(trials = sizes[i], count = at$count[i], power = at$power[i], attainedAlpha = at$risk[i])
    list(smallest = each(1), lasting = each(2))
  },
  relative = 1e-9, absolute = 0
)

compare_with_r("similarity-size",
  fixed = list(
    list(chance = 0.5, pd = 0.3, beta = 0.05),
    list(chance = 1 / 3, pd = 0.5, beta = 0.001, truePd = 0.2, power = 0.9),
    list(chance = 1 / 10, pd = 0.9, beta = 0.2, truePd = 0, power = 0.5)
  ),
  draw = function() {
    pd <- runif(1, 0.25, 0.9)
    list(
      chance = one_of(1 / 2, 1 / 3, 1 / 10), pd = pd, beta = some_alpha(), truePd = one_of(0, runif(1, 0, pd / 2)),
      power = one_of(0.8, 0.9, 0.5, 0.95)
    )
  },
  expected = function(input) {
    input <- modifyList(list(truePd = 0, power = 0.8), input)
    at <- function(pd) input$chance + pd * (1 - input$chance)
    count <- function(n) most_insignificant(n, at(input$pd), input$beta)
    power <- function(n) ifelse(count(n) < 0, 0, pbinom(count(n), n, at(input$truePd)))
    sizes <- enough_from(power, input$power)
    each <- function(n) list(trials = n, count = count(n), power = power(n))
    list(smallest = each(sizes[1]), lasting = each(sizes[2]))
  },
  relative = 1e-9, absolute = 0
)

compare_with_r("distinguishers",
  fixed = list(
    list(correct = 0, trials = 10, chance = 0.5, level = 0.95),
    list(correct = 10, trials = 10, chance = 0.5, level = 0.95),
    list(correct = 1, trials = 3, chance = 1 / 3, level = 0.9),
    list(correct = 11, trials = 30, chance = 1 / 3, level = 0.9)
  ),
  draw = function() {
    trials <- some_trials()
    chance <- one_of(1 / 2, 1 / 3, 1 / 10)
    list(correct = some_correct(trials, chance), trials = trials, chance = chance, level = some_level())
  },
  expected = function(input) with(input, {
    above <- pmax(
      0, (c(correct / trials, share_interval(correct, trials, level, "clopper-pearson")) - chance) / (1 - chance)
    )
    list(proportion = above[1], lower = above[2], upper = above[3])
  }),
  relative = 1e-10, absolute = 1e-14
)

# Distance, its standard error by the delta method (Bi, Ennis and O'Mahony 1997, J. Sensory Studies 12:87) and its
# interval by the profile likelihood on shares from chance on (Brockhoff and Christensen 2010, Food Qual. Prefer.
# 21:330).
compare_with_r("d-prime",
  fixed = unlist(lapply(names(psychometric), function(method) {
    lapply(c(0, 8, 9, 10, 14, 19, 20), function(correct) {
      list(method = method, correct = correct, trials = 20, level = if (correct == 9) 0.8 else 0.95)
    })
  }), recursive = FALSE),
  draw = function() {
    method <- sample(names(psychometric), 1)
    trials <- some_trials()
    list(
      method = method, correct = some_correct(trials, psychometric[[method]]$chance), trials = trials,
      level = some_level()
    )
  },
  expected = function(input) with(input, {
    chance <- psychometric[[method]]$chance
    share <- correct / trials
    best <- max(share, chance)
    wrong <- trials - correct
    log_likelihood <- function(p) dbinom(correct, trials, p, log = TRUE)
    too_far <- function(p) 2 * (log_likelihood(best) - log_likelihood(p)) - qchisq(level, 1)
    lower <- if (share <= chance || too_far(chance) <= 0) 0 else distance_at(method, root(too_far, chance, best))
    upper <- if (wrong == 0) NA else distance_at(method, root(too_far, best, 1 - 1e-16))
    d <- if (wrong == 0) NA else distance_at(method, share)
    inside <- share > chance && wrong > 0
    list(
      dPrime = d, unbounded = wrong == 0,
      standardError = if (inside) sqrt(share * (1 - share) / trials) / psychometric[[method]]$slope(d) else NA,
      lower = lower, upper = upper
    )
  }),
  relative = 1e-9, absolute = 1e-10
)

compare_with_r("proportion-correct",
  fixed = unlist(lapply(names(psychometric), function(method) {
    lapply(c(0, 1e-6, 0.01, 0.5, 1, 3, 8, 20, 60), function(d) list(method = method, dPrime = d))
  }), recursive = FALSE),
  draw = function() list(method = sample(names(psychometric), 1), dPrime = one_of(runif(1, 0, 4), rexp(1, 0.3))),
  expected = function(input) list(proportion = psychometric[[input$method]]$share(input$dPrime)),
  relative = 1e-10, absolute = 0
)

fisher_upper <- function(a, n1, b, n2) phyper(a - 1, n1, n2, a + b, lower.tail = FALSE)

# Kaplan, Macmillan and Creelman 1978; Macmillan and Creelman 2005, chapter 9: the distance of the two impressions of a
# pair has standard deviation √2, and "different" is said beyond a criterion tau on it.
compare_with_r("same-different",
  fixed = list(
    list(differentSaidDifferent = 60, differentPairs = 100, sameSaidDifferent = 25, samePairs = 100),
    list(differentSaidDifferent = 32, differentPairs = 50, sameSaidDifferent = 1, samePairs = 80),
    list(differentSaidDifferent = 199, differentPairs = 200, sameSaidDifferent = 99, samePairs = 100),
    list(differentSaidDifferent = 5, differentPairs = 5, sameSaidDifferent = 1, samePairs = 5),
    list(differentSaidDifferent = 3, differentPairs = 5, sameSaidDifferent = 0, samePairs = 5),
    list(differentSaidDifferent = 3, differentPairs = 5, sameSaidDifferent = 3, samePairs = 5),
    list(differentSaidDifferent = 2, differentPairs = 50, sameSaidDifferent = 8, samePairs = 40)
  ),
  draw = function() {
    n <- c(whole(2, 300), whole(2, 300))
    said <- rbinom(2, n - 2, sort(runif(2), decreasing = TRUE)) + 1
    list(differentSaidDifferent = said[1], differentPairs = n[1], sameSaidDifferent = said[2], samePairs = n[2])
  },
  expected = function(input) with(input, {
    hits <- differentSaidDifferent / differentPairs
    alarms <- sameSaidDifferent / samePairs
    tau <- sqrt(2) * qnorm(alarms / 2, lower.tail = FALSE)
    said <- function(d) pnorm((d - tau) / sqrt(2)) + pnorm((-d - tau) / sqrt(2))
    # At or below the rate of false alarms there is no distance; without false alarms or without misses it has no end.
    endless <- hits == 1 || alarms == 0
    list(
      hitRate = hits, falseAlarmRate = alarms, tau = if (alarms == 0) NA else tau,
      dPrime = if (endless) NA else if (hits <= alarms) 0 else root(function(d) said(d) - hits, 0, 40),
      p = fisher_upper(differentSaidDifferent, differentPairs, sameSaidDifferent, samePairs)
    )
  }),
  relative = 1e-10, absolute = 0
)

# Log-linear correction: Hautus 1995, Behav. Res. Methods 27:46. Standard error: Gourevitch and Galanter 1967.
compare_with_r("a-not-a",
  fixed = list(
    list(hits = 20, signalTrials = 20, falseAlarms = 0, noiseTrials = 20, correction = "log-linear"),
    list(hits = 0, signalTrials = 7, falseAlarms = 9, noiseTrials = 9, correction = "log-linear"),
    list(hits = 1, signalTrials = 1, falseAlarms = 0, noiseTrials = 1, correction = "log-linear"),
    list(hits = 40, signalTrials = 50, falseAlarms = 5, noiseTrials = 50, correction = "none"),
    list(hits = 18, signalTrials = 25, falseAlarms = 7, noiseTrials = 25)
  ),
  draw = function() {
    n <- c(whole(3, 300), whole(3, 300))
    x <- c(some_correct(n[1], runif(1, 0.3, 0.95)), some_correct(n[2], runif(1, 0.05, 0.6)))
    inside <- all(x > 0 & x < n)
    list(
      hits = x[1], signalTrials = n[1], falseAlarms = x[2], noiseTrials = n[2],
      correction = if (inside) one_of("none", "log-linear") else "log-linear"
    )
  },
  expected = function(input) with(input, {
    raw <- c(hits / signalTrials, falseAlarms / noiseTrials)
    log_linear <- c((hits + 0.5) / (signalTrials + 1), (falseAlarms + 0.5) / (noiseTrials + 1))
    corrected <- if (identical(input$correction, "none")) raw else log_linear
    z <- qnorm(corrected)
    list(
      hitRate = raw[1], falseAlarmRate = raw[2], dPrime = z[1] - z[2], criterion = -(z[1] + z[2]) / 2,
      standardError = sqrt(sum(corrected * (1 - corrected) / (c(signalTrials, noiseTrials) * dnorm(z)^2))),
      p = fisher_upper(hits, signalTrials, falseAlarms, noiseTrials)
    )
  }),
  relative = 1e-10, absolute = 1e-12
)

# The odds of McNemar's test are b/c. Exact p: binom.test on b of b + c.
compare_with_r("mcnemar",
  fixed = list(
    list(b = 0, c = 5), list(b = 1, c = 0), list(b = 5, c = 5), list(b = 86, c = 150), list(b = 2000, c = 1000)
  ),
  draw = function() list(b = one_of(whole(0, 12), whole(0, 200)), c = one_of(whole(1, 12), whole(1, 200))),
  expected = function(input) with(input, c(
    list(p = binom.test(b, b + c)$p.value), if (c > 0) list(odds = b / c)
  )),
  relative = 1e-10, absolute = 0
)

# Listeners who differ. The right answers of one, k heard and the rest guessed, are summed as defined: Skellam 1948 (beta-
# binomial), Morrison 1978 and Brockhoff 2003 (with guessing). Maximum on the logits of mean and gamma by optim from
# several starts, polished by nlm; profile limits by uniroot over optimize.
mixture_log_lik <- function(listeners, weights, chance) {
  constants <- lapply(seq_len(nrow(listeners)), function(i) {
    x <- listeners[i, 1]
    n <- listeners[i, 2]
    k <- if (chance == 0) x else 0:x
    log_ways <- lchoose(n, x) + lchoose(x, k) + (n - x + k) * log1p(-chance) + if (chance == 0) 0 else (x - k) * log(chance)
    list(k = k, m = n - x, log_ways = log_ways)
  })
  function(mean, gamma) {
    # Factors instead of beta functions: nothing cancels where gamma is small.
    rising <- function(share, count) {
      if (count == 0) return(0)
      c(0, cumsum(log(share * (1 - gamma) + gamma * (0:(count - 1)))))
    }
    most <- max(listeners[, 2])
    heard <- rising(mean, most)
    not <- rising(1 - mean, most)
    all <- rising(1, most)
    each <- vapply(constants, function(one) {
      terms <- one$log_ways + heard[one$k + 1] + not[one$m + 1] - all[one$k + one$m + 1]
      top <- max(terms)
      if (!is.finite(top)) return(-Inf)
      top + log(sum(exp(terms - top)))
    }, 0)
    sum(weights * each)
  }
}

mixture_fit <- function(log_lik, starts_mean) {
  at <- function(theta) {
    value <- -log_lik(plogis(theta[1]), plogis(theta[2]))
    if (is.finite(value)) value else 1e10
  }
  best <- NULL
  for (mean in starts_mean) for (gamma in c(0.02, 0.2, 0.6)) {
    found <- optim(qlogis(c(mean, gamma)), at, method = "BFGS", control = list(reltol = 1e-15, maxit = 500))
    found <- optim(found$par, at, control = list(reltol = 1e-15, maxit = 2000))
    if (is.null(best) || found$value < best$value) best <- found
  }
  # Newton with numerical derivatives, until only rounding is left.
  theta <- best$par
  for (round in 1:4) {
    slope <- numeric_slope(at, theta)
    bend <- optimHess(theta, at, control = list(ndeps = c(1e-3, 1e-3)))
    step <- tryCatch(solve(bend, slope), error = function(e) c(0, 0))
    if (any(!is.finite(step)) || max(abs(step)) > 0.05) break
    theta <- theta - step
  }
  c(mean = plogis(theta[1]), gamma = plogis(theta[2]), log_lik = -at(theta))
}

numeric_slope <- function(f, at) {
  vapply(seq_along(at), function(i) {
    moved <- function(h) f(replace(at, i, at[i] + h))
    h <- 1e-3
    (8 * (moved(h) - moved(-h)) - (moved(2 * h) - moved(-2 * h))) / (12 * h)
  }, 0)
}

# Where the fit is well inside: the limits of the mean by its profile.
mixture_limits <- function(log_lik, fit, drop) {
  profile <- function(mean) {
    tried <- lapply(list(c(-14, -3), c(-4, 0), c(-1, 3), c(2, 14)), function(range) {
      optimize(function(g) log_lik(mean, plogis(g)), range, maximum = TRUE, tol = 1e-9)$objective
    })
    max(unlist(tried), log_lik(mean, 0))
  }
  fallen <- function(mean) fit["log_lik"] - profile(mean) - drop
  side <- function(end) {
    if (fallen(end) <= 0) return(NA)
    uniroot(fallen, sort(c(fit["mean"], end)), tol = 1e-11)$root
  }
  c(side(1e-6), side(1 - 1e-6))
}

# Two columns, right answers and trials, as the call takes them; wrapped, since an array of one must stay one.
counts_of <- function(correct, trials) {
  Map(function(x, n) list(correct = x, trials = n), correct, trials, USE.NAMES = FALSE)
}

compare_with_r("replicated-difference",
  fixed = list(
    list(listeners = counts_of(c(10, 23, 23, 26, 17), c(39, 62, 81, 51, 39)), chance = 0, level = 0.95),
    list(listeners = counts_of(c(12, 11, 8, 7, 5, 9, 6, 12), rep(12, 8)), chance = 0.5, level = 0.9)
  ),
  draw = function() {
    listeners <- whole(5, 30)
    trials <- one_of(rep(whole(4, 16), listeners), sample(3:20, listeners, TRUE))
    chance <- one_of(0, 1 / 2, 1 / 3, 0.1)
    mean <- runif(1, 0.2, 0.8)
    gamma <- runif(1, 0.1, 0.6)
    share <- rbeta(listeners, mean * (1 - gamma) / gamma, (1 - mean) * (1 - gamma) / gamma)
    list(
      listeners = counts_of(rbinom(listeners, trials, chance + (1 - chance) * share), trials),
      weights = I(sample(1:3, listeners, TRUE)), chance = chance, level = one_of(0.95, 0.9, 0.8)
    )
  },
  expected = function(input) {
    counts <- t(vapply(input$listeners, unlist, c(0, 0)))
    weights <- if (is.null(input$weights)) rep(1, nrow(counts)) else as.vector(input$weights)
    right <- sum(weights * counts[, 1])
    all <- sum(weights * counts[, 2])
    drop <- qchisq(input$level, 1) / 2
    model <- function(chance) {
      log_lik <- mixture_log_lik(counts, weights, chance)
      alike <- (right / all - chance) / (1 - chance)
      fit <- mixture_fit(log_lik, c(0.15, min(max(alike, 0.05), 0.95), 0.8))
      inside <- fit["gamma"] > 0.02 && fit["gamma"] < 0.95 && fit["mean"] > 0.02 && fit["mean"] < 0.98
      # At the ends R's own fit crawls; the tests have those by hand.
      if (!inside) return(NULL)
      limits <- mixture_limits(log_lik, fit, drop)
      # Differences at two steps, and what they come to at none (Richardson).
      bend <- function(h) -optimHess(fit[1:2], function(v) log_lik(v[1], v[2]), control = list(ndeps = c(h, h)))
      errors <- sqrt(diag(solve((4 * bend(5e-4) - bend(1e-3)) / 3)))
      size <- (1 - fit["gamma"]) / fit["gamma"]
      c(
        list(
          mean = fit[["mean"]], gamma = fit[["gamma"]], logLik = fit[["log_lik"]],
          alpha = fit[["mean"]] * size[[1]], beta = (1 - fit[["mean"]]) * size[[1]],
          boundary = FALSE, identified = TRUE
        ),
        if (!is.na(limits[1])) list(lower = limits[1]),
        if (!is.na(limits[2])) list(upper = limits[2]),
        list(standardErrors = list(mean = errors[[1]], gamma = errors[[2]]))
      )
    }
    plain <- model(0)
    corrected <- model(input$chance)
    binomial <- sum(weights * dbinom(counts[, 1], counts[, 2], right / all, log = TRUE))
    values <- list(binomial = list(proportion = right / all, logLik = binomial))
    if (!is.null(plain)) {
      values$betaBinomial <- plain
      statistic <- 2 * (plain$logLik - binomial)
      values$overdispersion <- list(statistic = statistic, p = pchisq(statistic, 1, lower.tail = FALSE) / 2)
    }
    if (!is.null(corrected)) values$chanceCorrected <- corrected
    values$difference <- list(
      count = right, trials = all,
      p = if (input$chance == 0) as.numeric(right == 0) else pbinom(right - 1, all, input$chance, lower.tail = FALSE)
    )
    values
  },
  relative = 2e-6, absolute = 1e-7
)
