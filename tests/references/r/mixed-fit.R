# The fields of the call mixed-model, worked out with lme4 and lmerTest. Sourced by mixed-model.R here and by the script
# that makes ../mixed-model.json.
#
# The optimisers that lme4 uses by itself stop too early for a reference: here several run from several starts and the
# best is polished. Covariates are fitted in units of their spread, and from their mean wherever that is the same model;
# the results are carried back by matrices, so that the year 2026 or 20,000 Hz cost no digits.

mixed_installed <- function() {
  all(vapply(c("lme4", "lmerTest", "minqa", "numDeriv"), requireNamespace, NA, quietly = TRUE))
}

mixed_versions <- function() {
  version <- function(name) paste(name, as.character(utils::packageVersion(name)))
  paste(c(paste0("R ", R.version$major, ".", R.version$minor), version("lme4"), version("lmerTest")), collapse = ", ")
}

# Levels as numbers where all are numbers, else as texts by their bytes.
mixed_levels <- function(values) {
  levels <- unique(as.character(values))
  numbers <- suppressWarnings(as.numeric(levels))
  if (all(is.finite(numbers))) levels[order(numbers)] else sort(levels, method = "radix")
}

# Which random effects hang together: one entry for each, with the term of the input that it comes from.
mixed_blocks <- function(random) {
  unlist(lapply(seq_along(random), function(term) {
    one <- random[[term]]
    slopes <- as.character(unlist(one$slopes))
    effects <- c(if (is.null(one$intercept) || one$intercept) "(Intercept)", slopes)
    together <- is.null(one$correlated) || one$correlated
    parts <- if (together) list(effects) else as.list(effects)
    lapply(parts, function(part) list(term = term, group = paste(unlist(one$group), collapse = ":"), effects = part))
  }), recursive = FALSE)
}

mixed_formula <- function(response, fixed, blocks) {
  fixed <- vapply(fixed, function(term) paste(unlist(term), collapse = ":"), "")
  random <- vapply(blocks, function(block) {
    slopes <- setdiff(block$effects, "(Intercept)")
    sprintf("(%s | %s)", paste(c(as.integer("(Intercept)" %in% block$effects), slopes), collapse = " + "), block$group)
  }, "")
  as.formula(paste(response, "~", paste(c("1", fixed, random), collapse = " + ")))
}

mixed_control <- function() {
  lme4::lmerControl(
    optimizer = NULL, calc.derivs = FALSE, check.rankX = "stop.deficient", check.scaleX = "ignore",
    check.conv.grad = "ignore", check.conv.singular = "ignore", check.conv.hess = "ignore", restart_edge = FALSE,
    boundary.tol = 0
  )
}

mixed_devfun <- function(formula, data, reml) {
  parts <- lme4::lFormula(formula, data, REML = reml, control = mixed_control())
  do.call(lme4::mkLmerDevfun, c(parts, list(control = mixed_control())))
}

# Least deviance over theta, from several starts; then whether any theta that is bounded by 0 may as well be 0. A theta
# off the diagonal below a zero one leads to nothing and is set to 0 with it by the fit itself.
mixed_optimum <- function(devfun) {
  lower <- environment(devfun)$lower
  start <- environment(devfun)$pp$theta + 0
  descend <- function(theta, free = rep(TRUE, length(theta))) {
    f <- function(x) {
      theta[free] <- pmax(x, lower[free])
      devfun(theta)
    }
    if (!any(free)) return(list(theta = theta, value = devfun(theta)))
    at <- theta[free]
    for (round in 1:3) {
      if (sum(free) > 1) {
        control <- list(rhobeg = c(0.2, 0.02, 0.002)[round], rhoend = 1e-9, maxfun = 5000)
        at <- minqa::bobyqa(at, f, lower[free], control = control)$par
      } else {
        ends <- if (round == 1) c(lower[free], 50) else c(max(lower[free], at - 0.01), at + 0.01)
        at <- optimize(f, ends, tol = 1e-12)$minimum
      }
      polished <- nlminb(at, f, lower = lower[free], control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 300))
      if (polished$objective < f(at)) at <- polished$par
    }
    theta[free] <- pmax(at, lower[free])
    list(theta = theta, value = devfun(theta))
  }
  starts <- list(start, ifelse(lower == 0, 0.2, 0.05), ifelse(lower == 0, 3, -0.5))
  found <- lapply(starts, descend)
  best <- found[[which.min(vapply(found, `[[`, 0, "value"))]]
  for (i in which(lower == 0)) {
    if (best$theta[i] == 0 || best$theta[i] > 0.01) next
    theta <- best$theta
    theta[i] <- 0
    at_zero <- descend(theta, seq_along(theta) != i & theta != 0)
    if (at_zero$value <= best$value + 1e-8) best <- at_zero
  }
  best
}

# The spread of each covariate, and its mean where the model is the same from any origin.
mixed_units <- function(data, covariates, fixed, blocks) {
  fixed <- lapply(fixed, unlist)
  has <- function(names) length(names) == 0 || any(vapply(fixed, setequal, NA, names))
  movable <- function(z) {
    slopes <- all(vapply(blocks, function(b) !(z %in% b$effects) || "(Intercept)" %in% b$effects, NA))
    slopes && all(vapply(fixed, function(term) !(z %in% term) || has(setdiff(term, z)), NA))
  }
  lapply(setNames(covariates, covariates), function(z) {
    list(from = if (movable(z)) mean(data[[z]]) else 0, unit = sd(data[[z]]))
  })
}

# One block's covariances in the covariates' own units: b0 + b1 (x − m)/s.
mixed_carried <- function(sigma, effects, units) {
  back <- diag(length(effects))
  for (j in seq_along(effects)) {
    if (effects[j] == "(Intercept)") next
    unit <- units[[effects[j]]]
    back[j, j] <- 1 / unit$unit
    if (effects[1] == "(Intercept)") back[1, j] <- -unit$from / unit$unit
  }
  back %*% sigma %*% t(back)
}

# The model as lmerTest takes it. Its own numerical derivatives take steps of a tenth of each parameter, which are too
# small for one that is nearly zero, as a covariance may be (the degrees of freedom were seen to be off by 2 %): here
# such steps have a least width, and the residual deviation is counted in units of itself. NULL where the curvature
# isn't positive.
mixed_tested <- function(model, devfun) {
  tested <- suppressWarnings(lmerTest:::as_lmerModLT(model, devfun))
  reml <- lme4::getME(model, "is_REML")
  at <- c(model@theta, 1)
  own <- function(x) replace(x, length(x), x[length(x)] * sigma(model))
  steps <- list(zero.tol = 0.05, eps = 0.005)
  curvature <- numDeriv::hessian(function(x) lmerTest:::devfun_vp(own(x), devfun, reml), at, method.args = steps)
  slope <- numDeriv::jacobian(function(x) lmerTest:::get_covbeta(own(x), devfun), at, method.args = steps)
  values <- eigen(curvature, TRUE)$values
  if (min(values) < 1e-6 * max(values)) return(NULL)
  tested@vcov_varpar <- 2 * solve(curvature)
  tested@Jac_list <- lapply(seq_len(ncol(slope)), function(i) matrix(slope[, i], length(tested@beta)))
  tested
}

# All pairs of a factor's levels: differences of means in which the levels of every other factor weigh the same, and
# each covariate is at its mean (Searle, Speed & Milliken 1980, The American Statistician 34:216–221). `said` takes a
# row of weights of the coefficients.
mixed_pairs <- function(input, data, formula, said) {
  names <- unique(unlist(input$fixed))
  grid <- expand.grid(lapply(setNames(names, names), function(name) {
    if (is.factor(data[[name]])) factor(levels(data[[name]]), levels(data[[name]])) else mean(data[[name]])
  }))
  X <- model.matrix(formula[-2], grid)
  levels <- levels(data[[input$compare]])
  mean_of <- function(level) colMeans(X[grid[[input$compare]] == level, , drop = FALSE])
  pairs <- combn(length(levels), 2, simplify = FALSE, FUN = function(pair) {
    L <- mean_of(levels[pair[1]]) - mean_of(levels[pair[2]])
    c(list(a = levels[pair[1]], b = levels[pair[2]]), said(matrix(L, 1)))
  })
  if (is.null(pairs[[1]]$p)) return(pairs)
  adjusted <- p.adjust(vapply(pairs, `[[`, 0, "p"), "holm")
  Map(function(pair, p) c(pair, list(pAdjusted = p)), pairs, adjusted)
}

# Returns list(expected, fields): what the call should give, and the tolerances of single fields; or a text that says
# why the case can't serve.
mixed_expected <- function(input) {
  reml <- is.null(input$method) || input$method == "reml"
  covariates <- as.character(unlist(input$covariates))
  blocks <- mixed_blocks(input$random)
  used <- unique(c(input$response, unlist(input$fixed), unlist(input$random), covariates))
  data <- input$rows[intersect(names(input$rows), used)]
  for (name in setdiff(names(data), c(input$response, covariates))) {
    data[[name]] <- factor(as.character(data[[name]]), mixed_levels(data[[name]]))
  }
  units <- mixed_units(data, covariates, input$fixed, blocks)
  own <- data
  for (z in covariates) data[[z]] <- (data[[z]] - units[[z]]$from) / units[[z]]$unit

  treatment <- options(contrasts = c("contr.treatment", "contr.poly"))
  on.exit(options(treatment))
  fixed_formula <- mixed_formula(input$response, input$fixed, list())
  ours <- model.matrix(fixed_formula, own)
  theirs <- model.matrix(fixed_formula, data)
  if (qr(theirs)$rank < ncol(theirs)) return("fixed effects of deficient rank")
  for (block in blocks) {
    levels <- nlevels(droplevels(interaction(data[strsplit(block$group, ":")[[1]]], drop = TRUE)))
    if (levels * length(block$effects) >= nrow(data)) return("as many random effects as rows")
  }
  # ours %*% carry = theirs, so that what is estimated here comes back as carry %*% estimates.
  size <- apply(abs(ours), 2, max)
  carry <- diag(1 / size, length(size)) %*% qr.coef(qr(sweep(ours, 2, size, "/"), tol = 1e-13), theirs)

  fit <- function(blocks) {
    if (length(blocks) == 0) return(NULL)
    formula <- mixed_formula(input$response, input$fixed, blocks)
    best <- mixed_optimum(mixed_devfun(formula, data, reml))
    control <- mixed_control()
    model <- suppressWarnings(do.call(
      lme4::lmer, list(formula, data, REML = reml, start = best$theta, control = control)
    ))
    list(model = model, theta = best$theta, devfun = mixed_devfun(formula, data, reml))
  }
  main <- fit(blocks)
  model <- if (is.null(main)) lm(fixed_formula, data) else main$model
  divisor <- nrow(data) - if (reml) ncol(theirs) else 0
  sigma <- if (is.null(main)) sqrt(sum(resid(model)^2) / divisor) else sigma(model)
  lambda <- if (is.null(main)) list() else lme4::VarCorr(model)
  # lme4 sorts its terms by their levels, and joins names by colons or dots: find ours by group and names of effects.
  taken <- integer(0)
  estimated <- lapply(blocks, function(block) {
    k <- Find(function(k) {
      group <- gsub(".", ":", sub("\\.[0-9]+$", "", names(lambda)[k]), fixed = TRUE)
      !(k %in% taken) && group == block$group && identical(rownames(lambda[[k]]), block$effects)
    }, seq_along(lambda))
    taken <<- c(taken, k)
    matrix(as.vector(lambda[[k]]), length(block$effects)) / sigma^2
  })
  # Smallest eigenvalues of the correlations and smallest relative deviations say how near the boundary the fit is.
  distance <- function(relative) {
    deviation <- sqrt(pmax(diag(relative), 0))
    if (min(deviation) < 1e-5) return(0)
    min(deviation, sqrt(max(0, min(eigen(relative / outer(deviation, deviation), TRUE)$values))))
  }
  near <- vapply(estimated, distance, 0)
  if (any(near > 1e-5 & near < 0.03)) return("variance close to zero, but not at it")
  singular <- any(near <= 1e-5)
  vanished <- vapply(estimated, function(relative) max(diag(relative)) < 1e-10, NA)
  halfway <- any(near <= 1e-5 & !vanished)

  # Degrees of freedom are those of the model without the terms that vanished. Satterthwaite's of a variance that is all
  # residual: its estimate has a variance of 2 sigma^4 over n − p, or over n with ML.
  tested <- NULL
  if (!halfway && !all(vanished)) {
    kept <- if (any(vanished)) fit(blocks[!vanished]) else main
    tested <- mixed_tested(kept$model, kept$devfun)
    if (is.null(tested)) return("the likelihood has no clear summit")
  }
  degrees <- function(L) {
    if (halfway) return(NULL)
    if (is.null(tested)) return(divisor)
    lmerTest::contestMD(tested, L)$DenDF
  }
  beta <- if (is.null(main)) coef(model) else lme4::fixef(model)
  covariance <- if (is.null(main)) sigma^2 * solve(crossprod(theirs)) else as.matrix(vcov(model))
  field <- function(name, value) if (is.null(value)) list() else setNames(list(value), name)

  tail <- (1 - if (is.null(input$level)) 0.95 else input$level) / 2
  # A combination of our coefficients with all that is said of it; only what hangs on no degrees of freedom where they
  # are open.
  said <- function(L, as) {
    L <- L %*% carry
    estimate <- drop(L %*% beta)
    error <- sqrt(drop(L %*% covariance %*% t(L)))
    df <- degrees(L)
    t <- estimate / error
    c(
      setNames(list(estimate), as), list(standardError = error, t = t), field("degreesOfFreedom", df),
      if (!is.null(df)) {
        half <- qt(tail, df, lower.tail = FALSE) * error
        list(p = 2 * pt(-abs(t), df), lower = estimate - half, upper = estimate + half)
      }
    )
  }
  fixed <- lapply(seq_len(ncol(ours)), function(j) {
    c(list(term = colnames(ours)[j]), said(diag(ncol(ours))[j, , drop = FALSE], "estimate"))
  })
  # The contrasts hang on the fixed terms only: without a random term one is made up for lmerTest.
  pattern <- model
  if (is.null(main) && length(input$fixed) > 0) {
    made_up <- transform(data, made.up = factor(seq_len(nrow(data)) %% 3))
    pattern <- suppressWarnings(do.call(lme4::lmer, list(
      update(fixed_formula, . ~ . + (1 | made.up)), made_up, control = mixed_control()
    )))
  }
  # A lone term's contrasts are those of type I in lmerTest: the same hypothesis, in rows that change the degrees of
  # freedom of an F with several, by up to some percent.
  contrasts <- if (length(input$fixed) > 0) lmerTest:::get_contrasts_type3(pattern)
  tests <- lapply(names(contrasts), function(term) {
    L <- contrasts[[term]] %*% carry
    numerator <- qr(L)$rank
    f <- drop(t(L %*% beta) %*% solve(L %*% covariance %*% t(L), L %*% beta)) / numerator
    df <- degrees(L)
    c(
      list(term = term, f = f, numerator = numerator), field("denominator", df),
      if (!is.null(df)) list(p = pf(f, numerator, df, lower.tail = FALSE))
    )
  })

  pairs <- if (!is.null(input$compare)) mixed_pairs(input, own, fixed_formula, function(L) said(L, "difference"))

  fields <- list()
  variance <- list()
  for (k in unique(vapply(blocks, `[[`, 0, "term"))) {
    of_term <- which(vapply(blocks, `[[`, 0, "term") == k)
    matrices <- lapply(of_term, function(i) {
      carried <- mixed_carried(estimated[[i]] * sigma^2, blocks[[i]]$effects, units)
      dimnames(carried) <- list(blocks[[i]]$effects, blocks[[i]]$effects)
      carried
    })
    row <- function(group, terms, value, sdcor, absolute) {
      here <- length(variance)
      fields[[sprintf("variance[%d].value", here)]] <<- list(relative = 5e-4, absolute = absolute)
      compared <- if (singular) list() else list(value = value, standardDeviationOrCorrelation = sdcor)
      variance[[here + 1]] <<- c(list(group = group, terms = I(terms)), compared)
    }
    group <- blocks[[of_term[1]]]$group
    for (m in matrices) for (a in rownames(m)) row(group, a, m[a, a], sqrt(m[a, a]), 0)
    for (m in matrices) for (i in seq_len(nrow(m))) for (j in seq_len(nrow(m))) if (i < j) {
      scale <- sqrt(m[i, i] * m[j, j])
      row(group, rownames(m)[c(i, j)], m[i, j], m[i, j] / scale, 5e-4 * scale)
    }
  }
  near_estimate <- function(list_name, estimates, names) {
    for (j in seq_along(estimates)) for (name in names) {
      one <- estimates[[j]]
      # With few degrees of freedom the limits are as far as they are uncertain.
      absolute <- if (!(name %in% c("lower", "upper"))) {
        1e-4 * one$standardError
      } else if (!is.null(one$p)) {
        max(1e-2 * one$standardError, 1e-3 * (one$upper - one$lower))
      }
      if (is.null(absolute)) next
      fields[[sprintf("%s[%d].%s", list_name, j - 1, name)]] <<- list(relative = 1e-6, absolute = absolute)
    }
    fields[[paste0(list_name, ".standardError")]] <<- list(relative = 2e-4, absolute = 0)
    fields[[paste0(list_name, ".t")]] <<- list(relative = 2e-4, absolute = 1e-4)
    fields[[paste0(list_name, ".degreesOfFreedom")]] <<- list(relative = 0.01, absolute = 0)
    for (p in c("p", "pAdjusted")) fields[[paste0(list_name, ".", p)]] <<- list(relative = 0.05, absolute = 1e-4)
  }
  near_estimate("fixed", fixed, c("estimate", "lower", "upper"))
  near_estimate("pairs", pairs, c("difference", "lower", "upper"))
  fields$tests.denominator <- list(relative = 0.01, absolute = 0)
  fields$tests.p <- list(relative = 0.05, absolute = 1e-4)
  fields$tests.f <- list(relative = 5e-4, absolute = 1e-5)
  fields$variance.standardDeviationOrCorrelation <- list(relative = 5e-4, absolute = 5e-4)
  fields$residual <- list(relative = 2e-4, absolute = 0)
  # The likelihood of REML depends on the units of the fixed effects.
  units_term <- if (reml) as.numeric(determinant(carry)$modulus) else 0
  fields$logLik <- list(relative = 1e-10, absolute = 2e-6)
  expected <- list(
    fixed = fixed, tests = tests, variance = variance, residual = sigma^2,
    logLik = as.numeric(if (is.null(main)) logLik(model, REML = reml) else logLik(model)) + units_term,
    converged = TRUE, singular = singular
  )
  if (!is.null(pairs)) expected$pairs <- pairs
  list(expected = expected, fields = fields)
}
