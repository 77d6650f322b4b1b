# What R does for the same questions, as a good R programmer would ask them; run by ../stats.ts. Prints lines
# "name milliseconds value …", and "version NAME NUMBER". Every time is the median of several runs. Base R does what it can;
# a part whose package isn't installed prints nothing.
median_ms <- function(f, runs, inner = 1) {
  f()
  times <- sapply(seq_len(runs), function(i) {
    from <- Sys.time()
    for (k in seq_len(inner)) f()
    as.numeric(Sys.time() - from, units = "secs") * 1000 / inner
  })
  median(times)
}
show <- function(name, ms, values = NULL) cat(name, sprintf("%.17g", c(ms, values)), "\n")
installed <- function(...) {
  all(vapply(c(...), function(name) suppressMessages(requireNamespace(name, quietly = TRUE)), NA))
}

# The same small generator as in draws.ts: Park and Miller (1988), Communications of the ACM 31:1192–1201.
draws <- function(seed) {
  state <- seed
  function(n, below) {
    out <- numeric(n)
    for (i in seq_len(n)) {
      state <<- (state * 16807) %% 2147483647
      out[i] <- state %% below
    }
    out
  }
}

cat("version R", paste0(R.version$major, ".", R.version$minor), "\n")
for (name in c("lme4", "lmerTest", "BradleyTerry2")) {
  cat("version", name, if (installed(name)) as.character(packageVersion(name)) else "none", "\n")
}
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1]))
for (part in c("exact", "preferences", "mixed", "small")) source(file.path(here, paste0(part, ".R")))
