# Makes summary.json and size-for-means.json with R (4.2.2, base only), independent of the code they check.
#
# Run in this folder: Rscript summary-and-size.R
number <- function(x) if (is.na(x)) "null" else sprintf("%.15g", x)
numbers <- function(x) paste0("[", paste(sapply(x, number), collapse = ", "), "]")
fields <- function(...) {
  parts <- list(...)
  paste0("{", paste(sprintf("\"%s\": %s", names(parts), unlist(parts)), collapse = ", "), "}")
}
text <- function(x) paste0("\"", x, "\"")
save <- function(file, cases) writeLines(c("[", paste(cases, collapse = ",\n"), "]"), file)
rversion <- paste0("R ", R.version$major, ".", R.version$minor)

summaryCase <- function(id, values, level, source) {
  n <- length(values)
  reach <- qt((1 - level) / 2, n - 1, lower.tail = FALSE) * sd(values) / sqrt(n)
  fields(
    id = text(id), description = text("Mean, spread, quartiles of type 7, t interval"), source = text(source),
    confirmedBy = text(paste(rversion, "mean, sd, median, quantile(type = 7), qt")),
    tolerance = fields(relative = 1e-12, absolute = 1e-12),
    inputs = fields(values = numbers(values), level = number(level)),
    expected = fields(
      n = n, mean = number(mean(values)), standardDeviation = number(sd(values)), median = number(median(values)),
      quartiles = numbers(quantile(values, c(0.25, 0.75), type = 7)),
      lower = number(mean(values) - reach), upper = number(mean(values) + reach)
    )
  )
}
liking <- c(6, 7, 5, 8, 7, 4, 9, 6, 6, 7, 3, 8)
depression <- c(1.83, 0.5, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.3)
save("summary.json", c(
  summaryCase("summary-liking12", liking, 0.95, "synthetic ratings"),
  summaryCase("summary-liking12-99", liking, 0.99, "synthetic ratings"),
  summaryCase("summary-depression", depression, 0.9, "Hollander & Wolfe 1973 p. 29, first column (data from memory)"),
  summaryCase("summary-two", c(7, 9), 0.95, "synthetic ratings")
))

power <- function(n, effect, alpha, sides) {
  critical <- qt(alpha / sides, n - 1, lower.tail = FALSE)
  upper <- pt(critical, n - 1, effect * sqrt(n), lower.tail = FALSE)
  if (sides == 2) upper + pt(-critical, n - 1, effect * sqrt(n)) else upper
}
sizeCase <- function(id, sd, difference, alpha, beta, alternative) {
  sides <- if (alternative == "two-sided") 2 else 1
  effect <- abs(difference) / sd
  n <- 2
  while (power(n, effect, alpha, sides) < 1 - beta) n <- n + 1
  fields(
    id = text(id), description = text("Fewest listeners for the paired t test, both tails counted where two-sided"),
    source = text("Non-central t: Johnson & Welch 1940 Biometrika 31:362 (definition)"),
    confirmedBy = text(paste(rversion, "pt(ncp), as power.t.test(type = paired, strict = TRUE) has it")),
    tolerance = fields(relative = 1e-10, absolute = 0),
    inputs = fields(
      standardDeviation = number(sd), difference = number(difference), alpha = number(alpha), beta = number(beta),
      alternative = text(alternative)
    ),
    expected = fields(listeners = n, power = number(power(n, effect, alpha, sides)))
  )
}
save("size-for-means.json", c(
  sizeCase("size-half-sd", 1, 0.5, 0.05, 0.2, "two-sided"),
  sizeCase("size-half-sd-one-sided", 1, 0.5, 0.05, 0.2, "greater"),
  sizeCase("size-scale-points", 1.5, -1, 0.05, 0.05, "less"),
  sizeCase("size-small", 2, 0.2, 0.05, 0.1, "two-sided"),
  sizeCase("size-strict-alpha", 1.2, 1, 0.001, 0.01, "two-sided"),
  sizeCase("size-large-effect", 0.5, 3, 0.05, 0.2, "two-sided"),
  sizeCase("size-both-tails-count", 1, 0.1, 0.6, 0.3, "two-sided"),
  sizeCase("size-two-is-enough", 1, 20, 0.2, 0.2, "greater")
))
