# Levitt 1971, J. Acoust. Soc. Am. 49:467 (transformed up-down); Kaernbach 1991, Percept. Psychophys. 49:227 (weighted).
# So many right answers in a row lower the level, so many wrong ones raise it; every move starts the count anew. A
# reversal is the level of the trial whose answer turns the direction, and from it on the next step holds.

staircase <- function(rule, steps, weights, start, answers) {
  level <- start
  right <- wrong <- direction <- 0
  track <- reversals <- numeric(0)
  for (answer in answers) {
    track <- c(track, level)
    if (answer == 1) {
      right <- right + 1
      wrong <- 0
    } else {
      wrong <- wrong + 1
      right <- 0
    }
    move <- if (right == rule$down) -1 else if (wrong == rule$up) 1 else 0
    if (move == 0) next
    if (direction != 0 && move != direction) reversals <- c(reversals, level)
    direction <- move
    right <- wrong <- 0
    step <- steps[min(length(reversals) + 1, length(steps))]
    level <- level + move * step * if (move < 0) weights$down else weights$up
  }
  list(track = track, reversals = reversals)
}

# Where moves up and down, each as large as it is, cancel: P(down right in a row come before up wrong in a row) by the
# race of two runs.
converges_at <- function(rule, weights) {
  down_first <- function(p) {
    q <- 1 - p
    run <- p^(rule$down - 1)
    other <- q^(rule$up - 1)
    run * (1 - q^rule$up) / (run + other - run * other)
  }
  root(function(p) down_first(p) * weights$down - (1 - down_first(p)) * weights$up, 1e-9, 1 - 1e-9)
}

compare_with_r("staircase",
  fixed = list(
    list(rule = list(down = 2, up = 1), steps = I(1), start = 10, answers = I(numeric(0))),
    list(
      rule = list(down = 3, up = 1), steps = c(4, 2, 1), start = 20,
      answers = c(1, 1, 1, 0, 1, 1, 1, 0, 0, 1, 1, 1, 1, 1, 1, 0), discard = 0
    ),
    list(
      rule = list(down = 1, up = 1), steps = I(1), weights = list(up = 3, down = 1), start = 0,
      answers = rep(c(1, 1, 1, 0), 6), discard = 3
    )
  ),
  draw = function() {
    list(
      rule = list(down = whole(1, 4), up = one_of(1, 1, 2, 3)),
      steps = I(one_of(2, c(4, 2, 1), c(0.8, 0.4, 0.2, 0.1))),
      weights = one_of(list(up = 1, down = 1), list(up = runif(1, 0.5, 3), down = runif(1, 0.5, 3))),
      start = whole(-3, 30),
      answers = I(rbinom(whole(10, 120), 1, runif(1, 0.4, 0.9))), discard = whole(0, 5)
    )
  },
  expected = function(input) {
    input <- modifyList(list(weights = list(up = 1, down = 1), discard = 2), input)
    run <- with(input, staircase(rule, as.vector(steps), weights, start, as.vector(answers)))
    kept <- tail(run$reversals, -input$discard)
    if (input$discard == 0) kept <- run$reversals
    # An even number: of one too many, the earliest is left out.
    if (length(kept) %% 2 == 1) kept <- kept[-1]
    list(
      track = I(run$track), reversals = I(run$reversals), threshold = if (length(kept) > 0) mean(kept) else NA,
      converges = converges_at(input$rule, input$weights)
    )
  },
  relative = 1e-9, absolute = 1e-12
)
