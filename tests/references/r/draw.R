# How inputs are drawn: points where people ask (everything right, nothing right, one beside the edge, chance 1/2, 1/3
# and 1/10, ties), and random points around them.

one_of <- function(...) {
  choices <- list(...)
  choices[[sample.int(length(choices), 1)]]
}

whole <- function(from, to) if (from == to) from else sample(from:to, 1)

some_chance <- function() one_of(1 / 2, 1 / 2, 1 / 3, 1 / 3, 1 / 10, runif(1, 0.02, 0.9))
some_level <- function() one_of(0.95, 0.8, 0.9, 0.99, runif(1, 0.5, 0.999))
some_alpha <- function() one_of(0.05, 0.01, 0.1, 0.2, 0.001, runif(1, 0.002, 0.3))
some_alternative <- function() one_of("greater", "less", "two-sided")
some_trials <- function() one_of(whole(1, 12), whole(5, 60), whole(20, 300), whole(200, 5000))

# A count of right answers: at an end, beside it, about where significance begins, or anywhere.
some_correct <- function(trials, chance) {
  inside <- function(x) min(max(x, 0), trials)
  one_of(
    0, trials, inside(trials - 1), inside(1),
    inside(qbinom(0.95, trials, chance) + whole(-1, 2)),
    rbinom(1, trials, chance),
    rbinom(1, trials, runif(1)),
    whole(0, trials)
  )
}

# Ratings of listeners (rows) and items (columns), with ties where `digits` is 0 or 1.
some_scores <- function(listeners, items, digits = one_of(0, 1, 12), spread = runif(1, 0, 1.5)) {
  effects <- rnorm(items, sd = spread)
  scores <- 5 + outer(rnorm(listeners), effects, "+") + rnorm(listeners * items)
  round(scores, digits)
}

# A root to the last digit of a double: uniroot works to 2·epsilon·|x| when it is asked for nothing coarser.
root <- function(f, lower, upper) {
  at_lower <- f(lower)
  at_upper <- f(upper)
  if (at_lower == 0) return(lower)
  if (at_upper == 0) return(upper)
  uniroot(f, c(lower, upper), f.lower = at_lower, f.upper = at_upper, tol = 1e-300, maxiter = 2000)$root
}
