# Makes beside-the-verdict.json: small data sets, and what R says of them, for what stands beside a verdict. R draws the
# data, and nothing here knows the code that is checked by it.
#
# Run in this folder: Rscript beside-the-verdict.R. Needs jsonlite, as Debian 12 packages it.
set.seed(20261201, kind = "Mersenne-Twister")
out <- list(made = paste("tests/references/beside-the-verdict.R,", R.version.string))

# Over time: right answers of 8 in each sitting, beside how often each sample had been heard by its end. Each listener's
# least-squares slope on log2 of that, then a t test over listeners; first against the mean of the later ones, by t.
sittings <- do.call(rbind, lapply(1:9, function(listener) {
  count <- if (listener == 4) 2 else 3
  heard <- cumsum(sample(6:14, count, replace = TRUE))
  data.frame(listener, sitting = 1:count, heard, right = rbinom(count, 8, 0.55 + 0.07 * (1:count)))
}))
own <- split(sittings, sittings$listener)
slopes <- sapply(own, function(one) coef(lm(I(right / 8) ~ log2(heard), one))[[2]])
changes <- sapply(own, function(one) mean(one$right[-1]) / 8 - one$right[1] / 8)
told <- function(test) list(value = unname(test$estimate), lower = test$conf.int[1], upper = test$conf.int[2], p = test$p.value)
out$overTime <- list(sittings = sittings, slope = told(t.test(slopes)), change = told(t.test(changes)))

# Days: variance within and between days of a nested analysis of variance, listeners as given. Balanced, by mean squares.
days <- expand.grid(answer = 1:3, sitting = 1:4, listener = 1:6)
days$value <- round(4 + rnorm(6)[days$listener] + 0.9 * rnorm(24)[(days$listener - 1) * 4 + days$sitting] + rnorm(72))
table <- anova(lm(value ~ factor(listener) / factor(sitting), days))
squares <- table[["Mean Sq"]]
out$dayToDay <- list(
  answers = days[, c("listener", "sitting", "value")],
  withinDay = squares[3], betweenDays = max(0, (squares[2] - squares[3]) / 3)
)

# Units: eight listeners, four heard the one and four the other. All 70 deals, gone through.
units <- data.frame(unit = rep(0:1, 4), value = round(5 + rep(c(0, 2), 4) + rnorm(8), 2))
left <- units$value - mean(units$value)
apart <- function(heard, of) var(c(mean(of[heard]), mean(of[-heard])))
deals <- combn(8, 4)
seen <- which(units$unit == 0)
dealt <- apply(deals, 2, apart, of = left)
indicator <- as.numeric(units$unit == 0) - 0.5
# Of both units, each by itself.
effect <- function(heard) 2 * apart(heard, indicator)
out$units <- list(
  answers = units, deals = ncol(deals),
  p = mean(dealt >= apart(seen, left) - 1e-9),
  variance = (apart(seen, left) - mean(dealt)) / (effect(seen) - mean(apply(deals, 2, effect)))
)

# A step in price: the cheap one against two dearer ones, three times each; of each listener the mean share over both pairs.
step <- expand.grid(pair = c("b", "c"), listener = 1:9)
step$wins <- rbinom(nrow(step), 3, plogis(0.9 + 0.8 * rnorm(9))[step$listener])
shares <- as.numeric(tapply(step$wins / 3, step$listener, mean))
flips <- as.matrix(expand.grid(rep(list(c(-1, 1)), 9)))
flip_p <- function(nets) {
  signs <- as.matrix(expand.grid(rep(list(c(-1, 1)), length(nets))))
  mean(abs(signs %*% nets) >= abs(sum(nets)) - 1e-9)
}
# Korn & Graubard (1998), Survey Methodology 24:193-201: Clopper-Pearson with the effective number of trials.
trials <- 9 * 6
n <- length(shares)
effective <- mean(shares) * (1 - mean(shares)) / (var(shares) / n) * (qt(0.025, trials - 1) / qt(0.025, n - 1))^2
effective <- min(trials, max(n, effective))
x <- mean(shares) * effective
out$priceStep <- list(
  answers = step, value = mean(shares), p = flip_p(2 * shares - 1),
  lower = qbeta(0.025, x, effective - x + 1), upper = qbeta(0.975, x + 1, effective - x)
)

# A preference map of five samples: each listener's liking regressed on both places, all 120 orders of the samples.
places <- matrix(round(rnorm(10), 2), 5)
liking <- t(sapply(1:6, function(i) round(5 + places %*% c(1, 0.5) + rnorm(5), 1)))
fits <- apply(liking, 1, function(y) {
  fit <- lm(y ~ places)
  c(coef(fit), summary(fit)$r.squared)
})
orders <- as.matrix(expand.grid(rep(list(1:5), 5)))
orders <- orders[apply(orders, 1, function(one) length(unique(one)) == 5), ]
explained <- function(order) mean(apply(liking, 1, function(y) summary(lm(y ~ places[order, ]))$r.squared))
every <- apply(orders, 1, explained)
out$map <- list(
  places = places, liking = liking, slopes = t(fits[2:3, ]), rSquared = fits[4, ],
  meanRSquared = mean(fits[4, ]), expected = mean(every), p = mean(every >= mean(fits[4, ]) - 1e-9)
)

# A listener: analysis of variance of own ratings, their spread, and the correlation with the mean of the others' means.
ratings <- expand.grid(sitting = 1:3, prototype = c("a", "b", "c", "d"), listener = 1:5)
ratings$value <- pmin(9, pmax(1, round(5 + c(a = -1.5, b = -0.5, c = 0.5, d = 1.5)[as.character(ratings$prototype)] +
  rnorm(5)[ratings$listener] + rnorm(60))))
means <- tapply(ratings$value, list(ratings$listener, ratings$prototype), mean)
out$raters <- list(ratings = ratings, listeners = lapply(1:5, function(i) {
  table <- anova(lm(value ~ prototype, ratings[ratings$listener == i, ]))
  list(
    discriminationP = table[["Pr(>F)"]][1], repeatabilitySd = sqrt(table[["Mean Sq"]][2]),
    agreement = cor(means[i, ], colMeans(means[-i, ])), bias = mean(means[i, ]) - mean(means)
  )
}), panelP = anova(lm(as.vector(means) ~ factor(as.vector(row(means))) + factor(as.vector(col(means)))))[["Pr(>F)"]][2])

# Third octaves: mean power over log frequency between the edges of base ten, by adaptive quadrature piece by piece.
frequencies <- sort(round(exp(runif(60, log(80), log(9000))), 1))
levels <- round(90 + cumsum(rnorm(60)), 2)
level_at <- approxfun(log(frequencies), levels)
bands <- data.frame(nominal = c(125, 250, 500, 1000, 2000, 4000), n = c(-9, -6, -3, 0, 3, 6))
bands$level <- sapply(bands$n, function(n) {
  edges <- log(1000 * 10^(n / 10 + c(-0.05, 0.05)))
  cuts <- c(edges[1], log(frequencies)[log(frequencies) > edges[1] & log(frequencies) < edges[2]], edges[2])
  pieces <- mapply(function(a, b) integrate(function(x) 10^(level_at(x) / 10), a, b, rel.tol = 1e-11)$value,
                   head(cuts, -1), tail(cuts, -1))
  10 * log10(sum(pieces) / diff(edges))
})
out$thirdOctaves <- list(frequencies = frequencies, levels = levels, bands = bands[, c("nominal", "level")])

# All audiences together: seven listeners each, four comparisons each; signs flipped in every way, and Holm over the three
# questions. Whether they differ: audiences dealt out over listeners in all 3,432 ways.
wins <- data.frame(audience = rep(c("home", "stage"), each = 7), wins = c(rbinom(7, 4, 0.85), rbinom(7, 4, 0.6)))
nets <- 2 * wins$wins / 4 - 1
home <- 1:7
raw <- c(flip_p(nets[home]), flip_p(nets[-home]), flip_p(nets))
ways <- combn(14, 7)
differ <- function(one) abs(mean(nets[one]) - mean(nets[-one]))
out$pooled <- list(
  answers = wins, p = raw, pAdjusted = p.adjust(raw, "holm"),
  interactionP = mean(apply(ways, 2, differ) >= differ(home) - 1e-9)
)

writeLines(jsonlite::toJSON(out, auto_unbox = TRUE, digits = NA, pretty = 1), "beside-the-verdict.json")
