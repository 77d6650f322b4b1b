# Exact power and permutations, vectorised.
curve <- function() {
  n <- 5:500
  count <- qbinom(0.05, n, 1 / 3, lower.tail = FALSE) + 1
  pbinom(count - 1, n, 1 / 3 + 0.3 * 2 / 3, lower.tail = FALSE)
}
show("curve", median_ms(curve, 15, 20), curve())

# The ranks of the scores in exact.ts: row i ranks item j by (3i² + 7ij + 5j²) mod 13, ties in half.
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
show("friedman", median_ms(friedman, 7), friedman())
