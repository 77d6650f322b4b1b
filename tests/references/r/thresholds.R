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

# By glm, from the best of a grid, since with guessing there may be several peaks. Where the best curve is nearly a step or
# nearly flat the definition leaves the fit open: not compared.
compare_with_r("psychometric-fit",
  fixed = list(
    list(levels = 1:5, correct = c(1, 3, 9, 15, 19), trials = rep(20, 5), guess = 0, shape = "logistic"),
    list(levels = 1:5, correct = c(1, 3, 9, 15, 19), trials = rep(20, 5), guess = 0, shape = "normal"),
    list(levels = c(1, 2), correct = c(12, 17), trials = c(20, 20), guess = 0.5, shape = "normal")
  ),
  draw = function() {
    levels <- sort(runif(whole(4, 9), -3, 5)) * one_of(1, 0.01, 40)
    trials <- sample(15:120, length(levels), TRUE)
    guess <- one_of(0, 1 / 2, 1 / 3, 0.1)
    lapse <- one_of(0, 0, 0.02, 0.05)
    shape <- one_of("logistic", "normal")
    slope <- one_of(1, -1) * runif(1, 2, 7) / diff(range(levels))
    share <- (if (shape == "normal") pnorm else plogis)(slope * (levels - mean(levels) - runif(1, -0.5, 0.5) / slope))
    list(
      levels = levels, correct = rbinom(length(levels), trials, guess + (1 - guess - lapse) * share), trials = trials,
      guess = guess, lapse = lapse, shape = shape
    )
  },
  expected = function(input) {
    input <- modifyList(list(lapse = 0), input)
    f <- if (input$shape == "normal") pnorm else plogis
    log_lik <- function(threshold, slope) {
      p <- input$guess + (1 - input$guess - input$lapse) * f(slope * (input$levels - threshold))
      sum(dbinom(input$correct, input$trials, p, log = TRUE))
    }
    width <- diff(range(input$levels))
    tried <- expand.grid(
      threshold = min(input$levels) + width * seq(-0.5, 1.5, 0.1), slope = c(-1, 1) %o% c(1, 2, 4, 8, 16) / width
    )
    heights <- mapply(log_lik, tried$threshold, tried$slope)
    fits <- lapply(order(-heights)[1:12], function(i) {
      start <- c(-tried$threshold[i] * tried$slope[i], tried$slope[i])
      tryCatch(
        suppressWarnings(with(input, fit_by_glm(levels, correct, trials, guess, lapse, shape, start))),
        error = function(e) NULL
      )
    })
    fits <- Filter(function(fit) !is.null(fit) && is.finite(fit$logLik), fits)
    if (length(fits) == 0) return(NULL)
    fit <- fits[[which.max(vapply(fits, function(fit) fit$logLik, 0))]]
    # Scoring may go round in circles: at a peak a hundredth of a standard error changes the likelihood alike both ways.
    tilt <- function(t, s) {
      moved <- function(h) with(fit, log_lik(threshold + h * t * standardErrors$threshold, slope + h * s * standardErrors$slope))
      (8 * (moved(0.01) - moved(-0.01)) - (moved(0.02) - moved(-0.02))) / 0.12
    }
    if (max(abs(tilt(1, 0)), abs(tilt(0, 1))) > 1e-6) return(NULL)
    # A step at a level with any share there.
    bounded <- function(p) pmin(pmax(p, input$guess), 1 - input$lapse)
    steps <- unlist(lapply(seq_along(input$levels), function(j) lapply(c(-1, 1), function(way) {
      p <- bounded((1 + way * sign(seq_along(input$levels) - j)) / 2)
      p[j] <- bounded(input$correct[j] / input$trials[j])
      sum(dbinom(input$correct, input$trials, p, log = TRUE))
    })))
    if (abs(fit$slope) * width < 0.5 || abs(fit$slope) * width > 40 || fit$logLik < max(heights, steps) + 1e-6) return(NULL)
    fit
  },
  relative = 1e-6, absolute = 1e-8
)
