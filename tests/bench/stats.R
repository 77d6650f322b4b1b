# What R does for the same questions, vectorised as a good R programmer would; prints lines "name milliseconds value ...".
# Base R only. Every time is the median of several runs.
median_ms <- function(f, runs) {
  times <- sapply(seq_len(runs), function(i) {
    from <- Sys.time()
    for (k in 1:20) f()
    as.numeric(Sys.time() - from, units = "secs") * 1000 / 20
  })
  median(times)
}
show <- function(name, ms, values) cat(name, sprintf("%.17g", c(ms, values)), "\n")
cat("version", paste0(R.version$major, ".", R.version$minor), "\n")

curve <- function() {
  n <- 5:500
  count <- qbinom(0.05, n, 1 / 3, lower.tail = FALSE) + 1
  pbinom(count - 1, n, 1 / 3 + 0.3 * 2 / 3, lower.tail = FALSE)
}
show("curve", median_ms(curve, 15), curve())

# The ranks of the scores in stats.ts: row i ranks item j by (3i² + 7ij + 5j²) mod 13, ties in half.
scores <- outer(1:30, 1:6, function(i, j) (3 * i * i + 7 * i * j + 5 * j * j) %% 13)
ranks <- t(apply(-scores, 1, rank))
seen <- sum(colSums(ranks)^2)
set.seed(1)
friedman <- function(permutations = 10000) {
  # All shuffles of one listener at once: random keys, ordered within each shuffle.
  sums <- matrix(0, permutations, 6)
  shuffle <- rep(seq_len(permutations), each = 6)
  for (i in 1:30) {
    keys <- order(shuffle, runif(6 * permutations))
    sums <- sums + matrix(rep(ranks[i, ], permutations)[keys], permutations, 6, byrow = TRUE)
  }
  (sum(rowSums(sums^2) >= seen - 1e-9) + 1) / (permutations + 1)
}
times <- sapply(1:7, function(i) system.time(friedman())[["elapsed"]] * 1000)
show("friedman", median(times), friedman())
