# Calls that take a moment; the same figures as in small.ts.
local({
  next_of <- draws(4)
  rows <- t(matrix(next_of(40 * 12, 101), 12))
  components <- function() prcomp(rows, scale. = TRUE)
  show("components", median_ms(components, 15, 20), components()$sdev^2)

  levels <- 0:7
  correct <- c(2, 5, 9, 17, 28, 33, 38, 39)
  psychometric <- function() glm(cbind(correct, 40 - correct) ~ levels, family = binomial)
  at <- coef(psychometric())
  show("psychometric", median_ms(psychometric, 15, 20), c(-at[[1]] / at[[2]], logLik(psychometric())))
})
