# The share of right answers at a distance d of two samples, the share's derivative, and the inverse. Impressions are
# normal with a standard deviation of 1. Written from the decision rules: each share is the probability of the event
# that the method calls right. Smooth integrals over a whole line by the trapezoidal rule, whose error falls faster than
# any power of the step; the triangle's has a corner at 0 and goes through integrate().

on_a_line <- function(f, d) {
  x <- seq(-14, 14 + d, by = 1 / 32)
  sum(f(x)) / 32
}

# 2-AFC: the one sample seems stronger than the other (Green and Swets 1966).
share_2_afc <- function(d) pnorm(d / sqrt(2))
slope_2_afc <- function(d) dnorm(d / sqrt(2)) / sqrt(2)

# 3-AFC: the one sample seems stronger than both others (Green and Swets 1966; Ennis 1993, J. Sensory Studies 8:353).
share_3_afc <- function(d) on_a_line(function(x) dnorm(x - d) * pnorm(x)^2, d)
slope_3_afc <- function(d) on_a_line(function(x) (x - d) * dnorm(x - d) * pnorm(x)^2, d)

# Triangle: of the three distances the one between the two like samples is the smallest (Ura 1960; Ennis 1993).
# u = (x1 - x2)/√2 and v = √(2/3)·(y - (x1 + x2)/2) are independent with variance 1; right is |v| > √3·|u|.
share_triangle <- function(d) {
  delta <- d * sqrt(2 / 3)
  f <- function(u) 2 * dnorm(u) * (pnorm(delta - sqrt(3) * u) + pnorm(-delta - sqrt(3) * u))
  pieces <- sort(unique(c(0, 1, 2, max(0, delta / sqrt(3) - 2), delta / sqrt(3), delta / sqrt(3) + 2, 12 + delta)))
  between <- function(from, to) {
    integrate(f, from, to, rel.tol = 1e-13, subdivisions = 500, stop.on.error = FALSE)$value
  }
  sum(mapply(between, head(pieces, -1), tail(pieces, -1)))
}
# The derivative's integral can be done: completing the square leaves a normal density and a normal probability.
slope_triangle <- function(d) {
  delta <- d * sqrt(2 / 3)
  sqrt(2 / 3) * dnorm(delta / 2) * (2 * pnorm(delta * sqrt(3) / 2) - 1)
}

# Duo-trio, and ABX by differencing: the like sample seems nearer to the reference (David and Trivedi 1962; Ennis 1993).
share_duo_trio <- function(d) {
  a <- pnorm(d / sqrt(2))
  b <- pnorm(d / sqrt(6))
  a * b + (1 - a) * (1 - b)
}
slope_duo_trio <- function(d) {
  dnorm(d / sqrt(2)) / sqrt(2) * (2 * pnorm(d / sqrt(6)) - 1) +
    dnorm(d / sqrt(6)) / sqrt(6) * (2 * pnorm(d / sqrt(2)) - 1)
}

# Tetrad, unspecified: both samples of one kind seem weaker, or both stronger, than both of the other
# (Ennis, Ennis, Palen and O'Mahony 1998).
share_tetrad <- function(d) {
  on_a_line(function(x) 2 * dnorm(x) * (pnorm(x) * pnorm(d - x)^2 + pnorm(-x) * pnorm(x - d)^2), d)
}
slope_tetrad <- function(d) {
  on_a_line(function(x) 4 * dnorm(x) * dnorm(x - d) * (pnorm(x) * pnorm(d - x) - pnorm(-x) * pnorm(x - d)), d)
}

# ABX by independent observation: A and B are put in order, then X to a side of the middle between them
# (Macmillan and Creelman 2005, chapter 9).
share_abx_independent <- function(d) pnorm(d / sqrt(2)) * pnorm(d / 2) + pnorm(-d / sqrt(2)) * pnorm(-d / 2)
slope_abx_independent <- function(d) {
  dnorm(d / sqrt(2)) / sqrt(2) * (2 * pnorm(d / 2) - 1) + dnorm(d / 2) / 2 * (2 * pnorm(d / sqrt(2)) - 1)
}

# Same-different by independent observation, no bias: each sample is put to a side of the middle
# (Macmillan and Creelman 2005, chapter 9).
share_same_different <- function(d) pnorm(d / 2)^2 + pnorm(-d / 2)^2
slope_same_different <- function(d) dnorm(d / 2) * (2 * pnorm(d / 2) - 1)

psychometric <- list(
  "2-afc" = list(chance = 1 / 2, share = share_2_afc, slope = slope_2_afc),
  "3-afc" = list(chance = 1 / 3, share = share_3_afc, slope = slope_3_afc),
  "triangle" = list(chance = 1 / 3, share = share_triangle, slope = slope_triangle),
  "duo-trio" = list(chance = 1 / 2, share = share_duo_trio, slope = slope_duo_trio),
  "tetrad" = list(chance = 1 / 3, share = share_tetrad, slope = slope_tetrad),
  "abx-differencing" = list(chance = 1 / 2, share = share_duo_trio, slope = slope_duo_trio),
  "abx-independent" = list(chance = 1 / 2, share = share_abx_independent, slope = slope_abx_independent),
  "same-different-independent" = list(chance = 1 / 2, share = share_same_different, slope = slope_same_different)
)

distance_at <- function(method, share) {
  of <- psychometric[[method]]
  if (share <= of$chance) return(0)
  highest <- 1
  while (of$share(highest) < share) highest <- highest * 2
  root(function(d) of$share(d) - share, 0, highest)
}
