# Distributions that base R has too coarsely for a comparison at 1e-9: qtukey stops at four digits, ptukey's upper tail
# is 1 minus the lower one and is off by 1e-8 for 20 groups and by 1e-3 for 2 degrees of freedom, pt with a
# non-centrality is a series that gives up beyond 37 and in the tails, pf with one is good to 1e-9 only. Here they are
# integrals by the trapezoidal rule, which for such smooth peaks converges faster than any power of the step.

# P(range of k standard normal > w), for each w; no 1 minus something, so that far tails keep their digits:
# k·∫φ(z)·(Φ(z)^(k-1) - (Φ(z) - Φ(z - w))^(k-1)) dz.
normal_range_upper <- function(w, k) {
  step <- 1 / 20
  z <- seq(-9, max(9, max(pmin(w, 80)) / 2 + 9), by = step)
  weight <- k * step * dnorm(z) * pnorm(z)^(k - 1)
  z_minus_w <- outer(-w, z, "+")
  # log of 1 - Φ(z - w)/Φ(z), by logs, so that neither end underflows
  log_rest <- log1p(-pmin(exp(pnorm(z_minus_w, log.p = TRUE) - rep(pnorm(z, log.p = TRUE), each = length(w))), 1))
  as.vector(-expm1((k - 1) * log_rest) %*% weight)
}

# Nodes u and weights for an expectation over s = exp(u), where df·s² is χ² with df degrees of freedom.
chi_nodes <- function(df) {
  step <- min(1 / 30, 1 / (6 * sqrt(2 * df)))
  reach <- if (df > 400) 14 / sqrt(2 * df) * 3 else 3 + 110 / df
  u <- seq(-reach, min(reach, 3), by = step)
  log_density <- log(2) + (df / 2) * log(df / 2) - lgamma(df / 2) + df * u - df / 2 * exp(2 * u)
  keep <- log_density > -150
  list(s = exp(u[keep]), weight = step * exp(log_density[keep]))
}

studentized_range_upper <- function(q, k, df) {
  if (q <= 0) return(1)
  if (is.infinite(df)) return(normal_range_upper(q, k))
  nodes <- chi_nodes(df)
  sum(nodes$weight * normal_range_upper(q * nodes$s, k))
}

studentized_range_quantile <- function(upper, k, df) {
  too_far <- function(q) log(studentized_range_upper(q, k, df)) - log(upper)
  start <- if (df < 2) NaN else qtukey(upper, k, df, lower.tail = FALSE)
  near <- is.finite(start) && too_far(start * 0.98) > 0 && too_far(start * 1.02) < 0
  if (near) root(too_far, start * 0.98, start * 1.02) else root(too_far, 1e-3, 1e4)
}

# P(T > t) and P(T < t) of the non-central t: the mean over s of P(Z > t·s - δ).
non_central_t_upper <- function(t, df, delta) {
  nodes <- chi_nodes(df)
  sum(nodes$weight * pnorm(t * nodes$s - delta, lower.tail = FALSE))
}
non_central_t_lower <- function(t, df, delta) non_central_t_upper(-t, df, -delta)

# qbeta and qf leave a few units in the last places; one step of Newton's method on the nearer tail takes them away.
beta_quantile <- function(p, a, b, lower.tail = TRUE) {
  x <- qbeta(p, a, b, lower.tail = lower.tail)
  for (i in 1:2) {
    step <- (pbeta(x, a, b, lower.tail = lower.tail) - p) / dbeta(x, a, b)
    if (is.finite(step) && abs(step) < 1e-3 * min(x, 1 - x)) x <- if (lower.tail) x - step else x + step
  }
  x
}
f_quantile_upper <- function(p, df1, df2) {
  x <- beta_quantile(p, df2 / 2, df1 / 2) # df2/(df2 + df1·F)
  df2 * (1 - x) / (x * df1)
}
