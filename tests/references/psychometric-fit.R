# Cases of psychometric-fit.json: glm of base R where there is no guessing, and a link that knows of it where there is.
#
#   Rscript tests/references/psychometric-fit.R
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1]))
for (file in c("json", "guessing")) source(file.path(here, "r", paste0(file, ".R")))

case <- function(id, description, source, levels, correct, trials, guess, lapse, shape, ...) {
  list(
    id = id, description = description, source = source, confirmedBy = "R 4.2.2 glm, psychometric-fit.R",
    tolerance = list(relative = 1e-8, absolute = 1e-10), ...,
    inputs = list(levels = levels, correct = correct, trials = trials, guess = guess, lapse = lapse, shape = shape),
    expected = fit_by_glm(levels, correct, trials, guess, lapse, shape)
  )
}

dose <- c(1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839)
killed <- c(6, 13, 18, 28, 52, 53, 61, 60)
beetles <- c(59, 60, 62, 56, 63, 59, 62, 60)
bliss <- "Bliss 1935, Annals of Applied Biology 22:134; as fitted in Dobson & Barnett 2008, An Introduction to Generalized Linear Models, 3rd ed., section 7.3"
printed <- function(...) list(published = list(...), publishedOrigin = "value from memory, confirmed by computation")
value <- function(v, tolerance) list(value = v, tolerance = tolerance)
levels <- c(0.5, 1, 1.5, 2, 3, 4)
right <- c(19, 22, 25, 31, 36, 38)
cases <- list(
  do.call(case, c(list("psi-beetles-logit", "logistic, no guessing", bliss, dose, killed, beetles, 0, 0, "logistic"),
    printed(slope = value(34.27, 0.005), deviance = value(11.23, 0.005)))),
  do.call(case, c(list("psi-beetles-probit", "normal, no guessing", bliss, dose, killed, beetles, 0, 0, "normal"),
    printed(slope = value(19.73, 0.005), deviance = value(10.12, 0.005)))),
  case("psi-half", "logistic, guessing right every second time", "invented", levels, right, rep(40, 6), 0.5, 0, "logistic"),
  case("psi-half-normal", "normal, the same", "invented", levels, right, rep(40, 6), 0.5, 0, "normal"),
  case("psi-lapse", "normal, with lapses", "invented", levels, right, rep(40, 6), 0.5, 0.03, "normal"),
  case("psi-third", "logistic, falling with the level", "invented", levels, rev(c(12, 14, 20, 30, 38, 39)), rep(40, 6), 1 / 3, 0.01, "logistic")
)
cat(json(cases), "\n")
