# Linear mixed models by lme4 and lmerTest, where they are installed.

for (file in c("mixed-fit", "mixed-draw")) source(file.path(here, paste0(file, ".R")))

if (!mixed_installed()) {
  if (length(asked) == 0 || "mixed-model" %in% asked) {
    message("mixed-model: lme4, lmerTest, minqa and numDeriv are not all installed, nothing remade")
  }
} else {
  mixed_left_out <- character(0)
  compare_with_r("mixed-model",
    # Every scenario comes once, then at random.
    fixed = if (length(asked) == 0 || "mixed-model" %in% asked) {
      set.seed(seed)
      lapply(names(mixed_scenarios), mixed_draw)
    } else list(),
    draw = mixed_draw,
    expected = function(input) {
      found <- mixed_expected(input)
      if (is.character(found)) {
        mixed_left_out <<- c(mixed_left_out, found)
        return(NULL)
      }
      structure(found$expected, fields = found$fields)
    },
    relative = 1e-9, absolute = 1e-12
  )
  if (length(mixed_left_out) > 0) {
    counts <- table(mixed_left_out)
    message("mixed-model, left out: ", paste(counts, names(counts), sep = " × ", collapse = "; "))
  }
}
