# Remakes values of the statistics from base R, on inputs of its own, one JSON line each:
#   {"call": …, "input": …, "expected": {only the fields to compare}, "tolerance": {"relative": …, "absolute": …}}
# A field may have a tolerance of its own, then `tolerance` has `fields`, by path with or without the numbers of entries, or
# by the first name alone. Written from the definitions in the literature that stands beside each; nothing is taken from
# the code that it checks.
#
#   Rscript tests/references/remake.R SEED CASES [CALL …]
#
# CASES are the random inputs of each call; those at the edges come on top. compare.mjs runs this and compares.

RNGkind("Mersenne-Twister", "Inversion", "Rejection")
options(warn = 1)

arguments <- commandArgs(TRUE)
if (length(arguments) < 2) stop("usage: Rscript tests/references/remake.R SEED CASES [CALL ...]")
seed <- as.integer(arguments[1])
cases <- as.integer(arguments[2])
asked <- arguments[-(1:2)]

# One comparison. `fixed` are inputs at the edges, `draw` makes a random one, `expected` works out the fields to compare,
# or gives NULL where the definition leaves the input open.
compare_with_r <- function(call, expected, draw = NULL, fixed = list(), relative, absolute, fields = NULL) {
  if (length(asked) > 0 && !(call %in% asked)) return(invisible())
  tolerance <- list(relative = relative, absolute = absolute)
  if (!is.null(fields)) tolerance$fields <- fields
  # Each call has its own stream, so that a case added to one leaves the others as they are.
  set.seed(seed + sum(utf8ToInt(call) * seq_len(nchar(call))))
  inputs <- c(fixed, if (!is.null(draw)) lapply(seq_len(cases), function(i) draw()))
  for (input in inputs) {
    line <- tryCatch(
      {
        values <- expected(input)
        # What hangs on the case comes with it.
        own <- tolerance
        own$fields <- c(attr(values, "fields"), fields)
        attr(values, "fields") <- NULL
        if (!is.null(values)) json(list(call = call, input = input, expected = values, tolerance = own))
      },
      error = function(e) stop(call, ": ", conditionMessage(e), " for ", deparse1(input))
    )
    if (!is.null(line)) cat(line, "\n", sep = "")
  }
}

here <- file.path(dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1])), "r")
# The tools, then the calls as the catalogue groups them.
for (file in c("json", "draw", "psychometric", "distributions", "guessing")) source(file.path(here, paste0(file, ".R")))
for (file in c(
  "differences", "sequential", "preferences", "ranks", "ratings", "mixed-model", "consistency", "thresholds", "designs"
)) {
  source(file.path(here, paste0(file, ".R")))
}
