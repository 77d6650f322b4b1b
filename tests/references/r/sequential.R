# Tests that may be looked at after every answer.

# Wald 1947, Sequential Analysis: logarithms of the likelihood ratio against ln((1 - β)/α) and ln(β/(1 - α)).
compare_with_r("sprt",
  fixed = list(
    # Three right answers are worth 3·ln 2 = ln 8, which is the upper bound; two wrong ones 2·ln(2/3), the lower one.
    list(p0 = 0.25, p1 = 0.5, alpha = 0.1, beta = 0.2, outcomes = c(1, 1, 1, 0, 0)),
    list(p0 = 0.25, p1 = 0.5, alpha = 0.1, beta = 0.4, outcomes = c(0, 0, 1)),
    list(p0 = 0.5, p1 = 0.75, alpha = 0.05, beta = 0.05, outcomes = I(numeric(0))),
    list(p0 = 0.5, p1 = 0.75, alpha = 0.05, beta = 0.05, outcomes = I(1)),
    list(p0 = 0.5, p1 = 0.75, alpha = 0.05, beta = 0.05, outcomes = rep(0, 12)),
    list(p0 = 1 / 3, p1 = 0.6, alpha = 0.01, beta = 0.2, outcomes = rep(1, 15), strict = TRUE)
  ),
  draw = function() {
    p <- sort(c(one_of(1 / 2, 1 / 3, runif(1, 0.05, 0.6)), runif(1, 0.61, 0.95)))
    list(
      p0 = p[1], p1 = p[2], alpha = one_of(0.05, 0.01, runif(1, 0.01, 0.2)),
      beta = one_of(0.05, 0.1, runif(1, 0.01, 0.3)),
      outcomes = I(rbinom(whole(1, 80), 1, runif(1, p[1], p[2]))), strict = one_of(FALSE, FALSE, TRUE)
    )
  },
  expected = function(input) with(input, {
    strict <- isTRUE(input$strict)
    upper <- if (strict) log(1 / alpha) else log((1 - beta) / alpha)
    lower <- log(beta / (1 - alpha))
    path <- cumsum(ifelse(as.vector(outcomes) == 1, log(p1 / p0), log((1 - p1) / (1 - p0))))
    crossed <- which(path >= upper - 1e-12 | path <= lower + 1e-12)
    at <- if (length(crossed) > 0) crossed[1] else NA
    list(
      decision = if (is.na(at)) "continue" else if (path[at] > 0) "bound-for-difference" else "bound-for-none",
      decidedAt = at, upper = upper, lower = lower, attainedAlphaBound = if (strict) alpha else alpha / (1 - beta),
      path = I(path)
    )
  }),
  relative = 1e-9, absolute = 1e-12
)

# Beta mixture against p0 (Ville 1939; Robbins 1970, Ann. Math. Stat. 41:1397); one-sided with the prior cut to the side
# of the alternative, which multiplies by posterior over prior mass of that side.
log_mixture <- function(right, wrong, p0, a, b, alternative = "two-sided") {
  log_mass <- function(a, b) pbeta(p0, a, b, lower.tail = alternative == "less", log.p = TRUE)
  side <- if (alternative == "two-sided") 0 else log_mass(a + right, b + wrong) - log_mass(a, b)
  lbeta(a + right, b + wrong) - lbeta(a, b) - right * log(p0) - wrong * log1p(-p0) + side
}
mixture_limits <- function(right, wrong, a, b, alpha) {
  beyond <- function(p) log_mixture(right, wrong, p, a, b) - log(1 / alpha)
  best <- right / (right + wrong)
  c(
    if (right == 0) 0 else root(beyond, 1e-300, if (wrong == 0) 1 - 1e-16 else best),
    if (wrong == 0) 1 else root(beyond, if (right == 0) 1e-300 else best, 1 - 1e-16)
  )
}

compare_with_r("always-valid",
  fixed = list(
    list(p0 = 0.5, outcomes = I(numeric(0))), list(p0 = 0.5, outcomes = I(1)), list(p0 = 1 / 3, outcomes = I(0)),
    list(p0 = 0.5, outcomes = rep(1, 20), alternative = "greater"),
    list(p0 = 0.5, outcomes = rep(1, 20), alternative = "less"),
    list(
      p0 = 1 / 10, outcomes = rep(c(1, 0), 150), alpha = 0.01, alternative = "two-sided", priorA = 0.5, priorB = 0.5
    ),
    list(p0 = 0.5, outcomes = rep(0, 200), alternative = "greater"),
    list(p0 = 0.1, outcomes = c(1, 1, 0), priorA = 0.5, alternative = "two-sided") # e after two is 20, 1/alpha exactly
  ),
  draw = function() {
    p0 <- one_of(1 / 2, 1 / 3, 1 / 10, runif(1, 0.05, 0.9))
    list(
      p0 = p0, outcomes = I(rbinom(one_of(whole(1, 30), whole(20, 250)), 1, one_of(p0, runif(1)))),
      alpha = one_of(0.05, 0.01, 0.1), priorA = one_of(1, 0.5, runif(1, 0.2, 12)),
      priorB = one_of(1, 0.5, runif(1, 0.2, 12)),
      alternative = some_alternative()
    )
  },
  expected = function(input) {
    input <- modifyList(list(alpha = 0.05, priorA = 1, priorB = 1, alternative = "greater"), input)
    with(input, {
      outcomes <- as.vector(outcomes)
      right <- cumsum(outcomes)
      wrong <- cumsum(1 - outcomes)
      log_e <- log_mixture(right, wrong, p0, priorA, priorB, alternative)
      rejected <- which(log_e >= log(1 / alpha) - 1e-12) # exactly 1/alpha rejects
      limits <- mapply(function(r, w) mixture_limits(r, w, priorA, priorB, alpha), right, wrong)
      last <- length(outcomes)
      if (last == 0) {
        nothing <- list(eValue = 1, logE = I(numeric(0)), p = 1, rejectedAt = NA)
        return(c(nothing, list(lower = 0, upper = 1, runningLower = 0, runningUpper = 1)))
      }
      running <- c(max(limits[1, ]), min(limits[2, ]))
      c(
        list(
          eValue = exp(log_e[last]), logE = I(log_e), p = min(1, exp(-max(log_e))),
          rejectedAt = if (length(rejected) > 0) rejected[1] else NA, lower = limits[1, last], upper = limits[2, last]
        ),
        if (running[1] <= running[2]) list(runningLower = running[1], runningUpper = running[2])
      )
    })
  },
  relative = 1e-9, absolute = 1e-12
)
