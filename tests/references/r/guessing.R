# Generalised linear models of right answers of which some are guessed: the link of guess + (1 - guess - lapse)·F (as for
# Abbott's correction in Finney 1971, Probit Analysis), and what psychometric-fit says of such a fit.

# The link of guess + (1 - guess - lapse)·F.
guessing_link <- function(shape, guess, lapse) {
  f <- switch(shape, logistic = list(p = plogis, q = qlogis, d = dlogis), normal = list(p = pnorm, q = qnorm, d = dnorm))
  span <- 1 - guess - lapse
  structure(list(
    linkfun = function(mu) f$q(pmin(pmax((mu - guess) / span, 1e-6), 1 - 1e-6)),
    linkinv = function(eta) guess + span * f$p(eta),
    mu.eta = function(eta) span * f$d(eta),
    valideta = function(eta) TRUE, name = "guessing"
  ), class = "link-glm")
}

fit_by_glm <- function(levels, correct, trials, guess, lapse, shape, start = c(-mean(levels), 1) * 2 / diff(range(levels))) {
  link <- if (guess == 0 && lapse == 0) c(logistic = "logit", normal = "probit")[[shape]] else guessing_link(shape, guess, lapse)
  fit <- glm(cbind(correct, trials - correct) ~ levels, family = binomial(link),
    start = if (is.character(link)) NULL else start,
    control = glm.control(epsilon = 1e-15, maxit = 200))
  b <- coef(fit)
  v <- vcov(fit)
  to <- c(-1 / b[2], b[1] / b[2]^2)
  list(
    threshold = -b[[1]] / b[[2]], slope = b[[2]],
    standardErrors = list(threshold = sqrt(drop(to %*% v %*% to)), slope = sqrt(v[2, 2])),
    logLik = sum(dbinom(correct, trials, fitted(fit), log = TRUE)), deviance = deviance(fit),
    degreesOfFreedom = fit$df.residual
  )
}
