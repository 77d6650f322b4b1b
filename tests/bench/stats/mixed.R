# Mixed models of 20,000 ratings; the same rows as in mixed.ts.
local({
  if (!installed("lme4")) return(invisible())
  noise <- function(next_of, n) colSums(matrix(next_of(6 * n, 1001), 6)) - 3000

  next_of <- draws(2)
  listener <- next_of(200, 2001) - 1000
  session <- next_of(20, 801) - 400
  crossed <- expand.grid(prototype = 0:4, session = 0:19, listener = 0:199)
  effect <- listener[crossed$listener + 1] + session[crossed$session + 1]
  crossed$score <- (5000 + effect + 20 * crossed$prototype + noise(next_of, 20000)) / 1000
  for (name in c("prototype", "session", "listener")) crossed[[name]] <- factor(crossed[[name]])
  formula <- score ~ prototype + (1 | listener) + (1 | session)
  plain <- function() lme4::lmer(formula, crossed)
  show("mixed-crossed-plain", median_ms(plain, 5))
  if (installed("lmerTest")) {
    with_tests <- function() {
      fit <- lmerTest::lmer(formula, crossed)
      list(fit = fit, fixed = coef(summary(fit)), tests = anova(fit))
    }
    found <- with_tests()
    fixed <- found$fixed
    show("mixed-crossed", median_ms(with_tests, 5), c(
      fixed[, "Estimate"], fixed[, "Std. Error"], fixed[, "df"], found$tests[["F value"]], found$tests$DenDF,
      as.data.frame(lme4::VarCorr(found$fit))$vcov, logLik(found$fit)
    ))
  }

  next_of <- draws(3)
  listener <- next_of(400, 2001) - 1000
  session <- next_of(4000, 1001) - 500
  nested <- expand.grid(prototype = 0:4, session = 0:9, listener = 0:399)
  effect <- listener[nested$listener + 1] + session[10 * nested$listener + nested$session + 1]
  nested$score <- (5000 + effect + 20 * nested$prototype + noise(next_of, 20000)) / 1000
  for (name in c("prototype", "session", "listener")) nested[[name]] <- factor(nested[[name]])
  without_tests <- function() lme4::lmer(score ~ prototype + (1 | listener) + (1 | listener:session), nested)
  fit <- without_tests()
  show("mixed-nested", median_ms(without_tests, 5), c(
    lme4::fixef(fit), sqrt(diag(as.matrix(vcov(fit)))), as.data.frame(lme4::VarCorr(fit))$vcov, logLik(fit)
  ))
})
