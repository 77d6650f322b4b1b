# Makes mixed-model.json with R, lme4 and lmerTest, independent of the code it checks: r/mixed-fit.R says how.
#
# Run in this folder: Rscript mixed-model.R
#
# A case that names `data` takes its rows from that file: the response and the covariates are numbers, all else are
# names, and rows in which one that is used is NA are left out (carrots.csv). The others are invented by r/mixed-draw.R
# from the seed beside them. `tolerance.fields` holds for single fields, by path with or without the numbers of entries.
# A field that isn't expected isn't settled: at a variance of zero the others are compared, and where effects hang
# together fully the degrees of freedom are left open as well.
RNGkind("Mersenne-Twister", "Inversion", "Rejection")
for (file in c("json", "draw", "mixed-fit", "mixed-draw")) source(file.path("r", paste0(file, ".R")))

one <- function(id, description, source, model, data = NULL, confirmed = NULL, published = NULL) {
  input <- model
  if (!is.null(data)) {
    rows <- read.csv(data)
    named <- c(model$response, unlist(model$fixed), unlist(model$random), unlist(model$covariates))
    input <- c(list(rows = rows[complete.cases(rows[intersect(names(rows), named)]), ]), model)
  }
  found <- mixed_expected(input)
  if (is.character(found)) stop(id, ": ", found)
  message(id, if (found$expected$singular) ", singular", if (is.null(found$expected$fixed[[1]]$p)) ", tests open")
  case <- list(
    id = id, description = description, source = source,
    confirmedBy = paste(c(mixed_versions(), confirmed), collapse = "; ")
  )
  if (!is.null(published)) {
    case$publishedOrigin <- "value from memory, confirmed by computation"
    case$published <- published
  }
  if (!is.null(data)) case$data <- data
  c(case, list(
    tolerance = list(relative = 1e-9, absolute = 1e-12, fields = found$fields),
    inputs = if (is.null(data)) input else model, expected = found$expected
  ))
}
printed <- function(value, tolerance) list(value = value, tolerance = tolerance)
# Printed as a standard deviation, returned as a variance.
printed_deviation <- function(value, tolerance) printed(value^2, 2 * value * tolerance)
again <- "log-likelihood and variances checked again with nlme::lme or a second optimiser"

sleepstudy <- function(...) {
  slope <- list(group = "Subject", slopes = list("Days"), ...)
  list(response = "Reaction", fixed = list("Days"), random = list(slope), covariates = list("Days"), method = "reml")
}
stool <- function(method) {
  list(response = "effort", fixed = list("Type"), random = list(list(group = "Subject")), method = method)
}
penicillin <- function(method) list(
  response = "diameter", fixed = list(), random = list(list(group = "plate"), list(group = "sample")), method = method
)
ham <- function(...) list(
  response = "Informed.liking", fixed = list("Product", "Information", I(c("Product", "Information"))),
  random = list(list(group = "Consumer"), list(group = I(c("Product", "Consumer"))), ...), method = "reml"
)
carrots <- function(...) list(
  response = "Preference", fixed = list("sens2", "Homesize"),
  random = list(list(group = "Consumer", slopes = list("sens2"), ...)), covariates = list("sens2"), method = "reml"
)
published_sleepstudy <- paste(
  "lme4 documentation / Bates, Maechler, Bolker & Walker 2015 J. Stat. Softw. 67(1), sleepstudy (Belenky et al. 2003):",
  "REML criterion 1743.628"
)
published_stool <- paste(
  "Pinheiro & Bates 2000 sec. 1.2 (nlme::ergoStool): sd Subject 1.332465, residual 1.100295; F 22.356 on 3,24"
)
published_penicillin <- "lme4 ?Penicillin (Davies & Goldsmith 1972), crossed random effects; Bates 2010"
published_ham <- paste(
  "lmerTest::ham (conjoint study of dry-cured ham, Naes et al. 2012; GPL>=2); Kuznetsova, Brockhoff & Christensen 2017",
  "J. Stat. Softw. 82(13)"
)
published_carrots <- "lmerTest::carrots (consumer preference mapping of carrots; GPL>=2)"

# A scenario of mixed-draw.R from the first seed whose input suits and of whose expected fields `wanted` holds.
invented <- function(id, scenario, description, suits = function(input) TRUE,
                     wanted = function(expected, input) !expected$singular) {
  for (seed in 1:2000) {
    set.seed(seed)
    input <- mixed_draw(scenario)
    if (nrow(input$rows) > 130 || !suits(input)) next
    found <- mixed_expected(input)
    if (!is.character(found) && wanted(found$expected, input)) {
      return(one(id, description, paste0("synthetic ratings, ", scenario, " from seed ", seed), input))
    }
  }
  stop("no such case: ", id)
}
unbalanced <- function(input) length(unique(table(input$rows$listener))) > 1
reml <- function(input) input$method == "reml"
gone <- function(expected) expected$singular && !is.null(expected$fixed[[1]]$p)
halfway <- function(expected, input) expected$singular && is.null(expected$fixed[[1]]$p)

cases <- list(
  one("lmm-sleepstudy", "slopes that hang together with intercepts, REML", published_sleepstudy, sleepstudy(),
    "data/sleepstudy.csv", again,
    list(
      "fixed/0/estimate" = printed(251.405, 0.0006), "fixed/1/estimate" = printed(10.467, 0.00051),
      "variance/0/standardDeviationOrCorrelation" = printed(24.741, 0.002),
      "variance/1/standardDeviationOrCorrelation" = printed(5.922, 0.002),
      residual = printed_deviation(25.592, 0.002), logLik = printed(-871.8141, 0.001)
    )
  ),
  one("lmm-ergostool", "blocks, REML", published_stool, stool("reml"), "data/ergoStool.csv", again,
    list(
      "fixed/0/estimate" = printed(8.5556, 0.0001),
      "variance/0/standardDeviationOrCorrelation" = printed(1.332465, 0.0001),
      residual = printed_deviation(1.100295, 0.0001), "tests/0/f" = printed(22.356, 0.0006),
      "tests/0/denominator" = printed(24, 0.001)
    )
  ),
  one("lmm-penicillin", "crossed groups, no fixed effect, REML", published_penicillin, penicillin("reml"),
    "data/penicillin.csv", again,
    list(
      "fixed/0/estimate" = printed(22.9722, 0.0001),
      "variance/0/standardDeviationOrCorrelation" = printed(0.84671, 0.0001),
      "variance/1/standardDeviationOrCorrelation" = printed(1.93159, 0.001),
      residual = printed_deviation(0.54992, 0.0001)
    )
  ),
  one("lmm-ham", "consumers, and products within consumers, REML", published_ham, ham(), "data/ham.csv", again),
  one("lmm-carrots", "slopes of many consumers, unbalanced, REML", published_carrots, carrots(),
    "data/carrots.csv", again),
  one("lmm-sleepstudy-apart", "slopes apart from intercepts", published_sleepstudy, sleepstudy(correlated = FALSE),
    "data/sleepstudy.csv"),
  one("lmm-sleepstudy-slope-only", "slopes without intercepts", published_sleepstudy, sleepstudy(intercept = FALSE),
    "data/sleepstudy.csv"),
  one("lmm-ergostool-ml", "blocks, ML", published_stool, stool("ml"), "data/ergoStool.csv"),
  one("lmm-penicillin-ml", "crossed groups, ML", published_penicillin, penicillin("ml"), "data/penicillin.csv"),
  one("lmm-ham-three", "three groups that cross", published_ham, ham(list(group = I(c("Information", "Consumer")))),
    "data/ham.csv"),
  one("lmm-carrots-apart", "slopes of many consumers, apart from intercepts", published_carrots,
    carrots(correlated = FALSE), "data/carrots.csv"),
  invented("lmm-nested", "nested", "sessions within listeners"),
  invented("lmm-units", "units", "listeners, sessions within them, and units of each prototype"),
  invented("lmm-slope-and-group", "slope_and_group", "slopes over sessions, and prototypes within listeners"),
  invented("lmm-year", "awkward", "slopes over the year, unbalanced", function(input) {
    rows <- input$rows
    min(rows$frequency) > 2000 && max(rows$frequency) < 2030 && !is.null(input$random[[1]]$slopes) &&
      length(input$fixed) == 3 && unbalanced(input)
  }),
  invented("lmm-hertz", "awkward", "a covariate of some 20,000 Hz",
    function(input) max(input$rows$frequency) == 20500 && length(input$fixed) > 1),
  invented("lmm-two-slopes", "two_slopes", "two slopes and an intercept that hang together", wanted =
    function(expected, input) !expected$singular && length(expected$variance) == 6),
  invented("lmm-interaction", "interaction", "factors that interact, unbalanced",
    function(input) length(unique(input$rows$prototype)) > 2 && unbalanced(input)),
  invented("lmm-audiences", "audiences", "two audiences of unlike size", function(input) length(input$random) == 2),
  invented("lmm-three-way", "three_way", "three factors that interact, with rows missing", unbalanced),
  invented("lmm-few", "few", "a group of two levels, a listener with one row, ML", Negate(reml)),
  invented("lmm-one-gone", "nested", "one variance at zero", reml,
    function(expected, input) gone(expected) && expected$fixed[[1]]$degreesOfFreedom < 20),
  invented("lmm-all-gone", "crossed", "both variances at zero, REML", reml,
    function(expected, input) gone(expected) &&
      expected$fixed[[1]]$degreesOfFreedom == nrow(input$rows) - length(expected$fixed)),
  invented("lmm-all-gone-ml", "crossed", "both variances at zero, ML", Negate(reml),
    function(expected, input) gone(expected) && expected$fixed[[1]]$degreesOfFreedom == nrow(input$rows)),
  invented("lmm-line", "slopes", "slopes and intercepts on one line: a correlation of 1 in size",
    function(input) is.null(input$random[[1]]$correlated) || input$random[[1]]$correlated, halfway)
)
writeLines(paste0("[\n", paste(vapply(cases, json, ""), collapse = ",\n"), "\n]"), "mixed-model.json")
