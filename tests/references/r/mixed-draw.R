# Invented panels and the models asked of them, each kind of design once by name: sourced by mixed-model.R here and by
# the script that makes ../mixed-model.json.

# A panel: every listener, session, prototype (and so on) that the design asks for, then rows that are missing.
mixed_panel <- function(..., missing = one_of(0, 0, 0.1, 0.3)) {
  rows <- expand.grid(..., stringsAsFactors = FALSE, KEEP.OUT.ATTRS = FALSE)
  kept <- runif(nrow(rows)) >= missing
  # All levels stay, each at least once.
  for (name in names(rows)) for (value in unique(rows[[name]])) {
    if (!any(kept & rows[[name]] == value)) kept[sample(which(rows[[name]] == value), 1)] <- TRUE
  }
  rows[kept, , drop = FALSE]
}

mixed_names <- function(n, letter) {
  switch(whole(1, 3), sprintf("%s%02d", letter, seq_len(n)), paste0(letter, seq_len(n)), seq_len(n))
}
mixed_prototypes <- function(n) {
  one_of(LETTERS[seq_len(n)], c(2, 10, 1, 33)[seq_len(n)], c("new", "Old", "a", "10")[seq_len(n)])
}

# The effect of each level of a group, drawn anew; sometimes none at all, which puts a variance at zero.
mixed_effect <- function(rows, names, sd = one_of(0, runif(1, 0.3, 2), runif(1, 0.5, 1.5), runif(1, 0.5, 3))) {
  group <- do.call(paste, rows[names])
  levels <- unique(group)
  unname(setNames(rnorm(length(levels), sd = sd), levels)[group])
}

mixed_scenarios <- list(
  crossed = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(5, 14), "L"), session = mixed_names(whole(2, 5), "s"),
      prototype = mixed_prototypes(whole(2, 4)), ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, "session") + mixed_effect(rows, "prototype") +
      rnorm(nrow(rows))
    list(rows = rows, fixed = list("prototype"), random = list(list(group = "listener"), list(group = "session")))
  },
  nested = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(4, 10), "L"), session = mixed_names(whole(2, 4), "s"),
      prototype = mixed_prototypes(whole(2, 3)), excerpt = c("x", "y")[seq_len(whole(1, 2))], ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("listener", "session")) +
      mixed_effect(rows, "prototype") + rnorm(nrow(rows))
    random <- list(list(group = "listener"), list(group = c("listener", "session")))
    list(rows = rows, fixed = list("prototype"), random = random)
  },
  by_prototype = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(5, 12), "L"), prototype = mixed_prototypes(whole(2, 4)),
      repeated = seq_len(whole(2, 3)), ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("listener", "prototype")) +
      mixed_effect(rows, "prototype") + rnorm(nrow(rows))
    group <- one_of(c("listener", "prototype"), c("prototype", "listener"))
    random <- list(list(group = "listener"), list(group = group))
    list(rows = rows, fixed = list("prototype"), random = one_of(random, rev(random)))
  },
  units = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(5, 10), "L"), session = mixed_names(2, "s"),
      prototype = LETTERS[seq_len(whole(2, 3))],
      unit = seq_len(whole(2, 3)), ...
    )
    rows$unit <- paste0(rows$prototype, rows$unit)
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("listener", "session")) +
      mixed_effect(rows, "unit") + rnorm(nrow(rows))
    list(rows = rows, fixed = list("prototype"), random = list(
      list(group = "listener"), list(group = c("listener", "session")), list(group = "unit")
    ))
  },
  units_by_number = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(6, 14), "L"), prototype = mixed_prototypes(whole(2, 4)), unit = 1:3, ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("prototype", "unit")) + rnorm(nrow(rows))
    random <- list(list(group = c("prototype", "unit")), list(group = "listener"))
    list(rows = rows, fixed = list("prototype"), random = random)
  },
  slopes = function(...) {
    rows <- mixed_panel(listener = mixed_names(whole(6, 18), "L"), days = one_of(0:9, c(0, 1, 3, 7, 14), 1:4), ...)
    start <- mixed_effect(rows, "listener")
    rows$score <- start + (mixed_effect(rows, "listener") + one_of(0, 0.7) * start + 0.5) * rows$days / 5 +
      rnorm(nrow(rows))
    list(
      rows = rows, fixed = list("days"), covariates = list("days"),
      random = list(list(
        group = "listener", slopes = list("days"), correlated = one_of(TRUE, TRUE, FALSE),
        intercept = one_of(TRUE, TRUE, TRUE, FALSE)
      ))
    )
  },
  two_slopes = function(...) {
    rows <- mixed_panel(listener = mixed_names(whole(10, 20), "L"), level = c(-6, 0, 3), days = c(0, 1, 2, 5), ...)
    rows$score <- mixed_effect(rows, "listener", 1) + mixed_effect(rows, "listener", 0.2) * rows$level +
      (0.3 + mixed_effect(rows, "listener", 0.4)) * rows$days + rnorm(nrow(rows))
    list(
      rows = rows, fixed = one_of(list("days"), list("days", "level")), covariates = list("level", "days"),
      random = list(list(
        group = "listener", slopes = list("days", "level"), correlated = one_of(TRUE, FALSE),
        intercept = one_of(TRUE, TRUE, FALSE)
      ))
    )
  },
  # A slope that hangs together with the intercept of listeners, and an intercept of prototypes within them.
  slope_and_group = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(6, 12), "L"), prototype = mixed_prototypes(whole(2, 3)), session = c(1, 2, 3, 5), ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, "listener") * rows$session / 3 +
      mixed_effect(rows, c("listener", "prototype")) + rnorm(nrow(rows))
    list(
      rows = rows,
      fixed = one_of(list("prototype", "session"), list("prototype", "session", c("prototype", "session"))),
      covariates = list("session"),
      random = list(list(group = "listener", slopes = list("session")), list(group = c("listener", "prototype")))
    )
  },
  # Covariates far from zero, or in large units.
  awkward = function(...) {
    frequency <- one_of(c(200, 2000, 20000), c(19000, 20000, 20500), 2024:2029, c(1e-6, 2e-6, 5e-6))
    rows <- mixed_panel(listener = mixed_names(whole(8, 16), "L"), frequency = frequency, prototype = c("A", "B"), ...)
    z <- (rows$frequency - mean(frequency)) / sd(frequency)
    rows$score <- mixed_effect(rows, "listener", runif(1, 0.5, 2)) + (1 + mixed_effect(rows, "listener")) * z +
      (rows$prototype == "B") + rnorm(nrow(rows))
    fixed <- one_of(
      list("frequency"), list("prototype", "frequency"), list("prototype", "frequency", c("prototype", "frequency")),
      list("frequency", "prototype", c("frequency", "prototype"))
    )
    random <- one_of(list(group = "listener"), list(group = "listener", slopes = list("frequency")))
    list(rows = rows, fixed = fixed, covariates = list("frequency"), random = list(random))
  },
  interaction = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(5, 12), "L"), prototype = mixed_prototypes(whole(2, 4)),
      excerpt = c("x", "y", "z")[seq_len(whole(2, 3))], ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("prototype", "excerpt")) + rnorm(nrow(rows))
    fixed <- list("prototype", "excerpt", c("prototype", "excerpt"))
    list(rows = rows, fixed = fixed, random = list(list(group = "listener")))
  },
  # Listeners of two audiences.
  audiences = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(8, 16), "L"), prototype = mixed_prototypes(whole(2, 3)), repeated = 1:2, ...
    )
    listeners <- unique(rows$listener)
    audiences <- c("stage", "home", sample(c("stage", "home"), length(listeners) - 2, TRUE))
    rows$audience <- unname(setNames(audiences, listeners)[as.character(rows$listener)])
    rows$score <- mixed_effect(rows, "listener") + (rows$audience == "stage") +
      mixed_effect(rows, c("audience", "prototype")) + rnorm(nrow(rows))
    list(
      rows = rows, fixed = list("audience", "prototype", c("audience", "prototype")),
      random = one_of(
        list(list(group = "listener")), list(list(group = "listener"), list(group = c("listener", "prototype")))
      )
    )
  },
  many = function(...) {
    rows <- mixed_panel(listener = seq_len(whole(60, 150)), prototype = c("A", "B", "C"), missing = one_of(0, 0.4))
    rows$score <- mixed_effect(rows, "listener", runif(1, 0.5, 2)) + rnorm(nrow(rows))
    list(rows = rows, fixed = list("prototype"), random = list(list(group = "listener")))
  },
  # Two levels, and a listener with one row.
  few = function(...) {
    rows <- mixed_panel(
      session = c("am", "pm"), listener = mixed_names(whole(4, 8), "L"), prototype = c("A", "B"), repeated = 1:2, ...
    )
    rows <- rows[-which(rows$listener == rows$listener[1])[-1], ]
    rows$score <- mixed_effect(rows, "session", 2) + mixed_effect(rows, "listener") + rnorm(nrow(rows))
    list(rows = rows, fixed = list("prototype"), random = list(list(group = "session"), list(group = "listener")))
  },
  # No fixed effect but the intercept.
  intercept = function(...) {
    rows <- mixed_panel(listener = mixed_names(whole(4, 12), "L"), item = mixed_names(whole(3, 8), "i"), ...)
    rows$score <- 5 + mixed_effect(rows, "listener") + mixed_effect(rows, "item") + rnorm(nrow(rows))
    list(rows = rows, fixed = list(), random = list(list(group = "listener"), list(group = "item")))
  },
  three_way = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(6, 10), "L"), prototype = c("A", "B"), excerpt = c("x", "y"),
      seal = c("foam", "silicone"), ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, c("prototype", "excerpt", "seal")) +
      rnorm(nrow(rows))
    list(
      rows = rows, random = list(list(group = "listener")),
      fixed = list(
        "prototype", "excerpt", "seal", c("prototype", "excerpt"), c("prototype", "seal"), c("excerpt", "seal"),
        c("prototype", "excerpt", "seal")
      )
    )
  },
  # No random term: the ordinary linear model.
  none = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(4, 8), "L"), prototype = mixed_prototypes(3), level = c(-6, 0, 3), ...
    )
    rows$score <- mixed_effect(rows, "prototype") + rows$level / 5 + rnorm(nrow(rows))
    list(
      rows = rows, covariates = list("level"), random = list(),
      fixed = one_of(list(), list("prototype"), list("prototype", "level", c("prototype", "level")))
    )
  },
  # A group of three names, and two terms of one group.
  deep = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(5, 8), "L"), session = mixed_names(2, "s"), prototype = LETTERS[seq_len(2)],
      position = 1:4, ...
    )
    rows$score <- mixed_effect(rows, "listener") + mixed_effect(rows, "listener", 0.5) * rows$position +
      mixed_effect(rows, c("listener", "session", "prototype")) + rnorm(nrow(rows))
    list(
      rows = rows, fixed = list("prototype", "position"), covariates = list("position"),
      random = list(
        list(group = c("listener", "session", "prototype")), list(group = "listener"),
        list(group = "listener", slopes = list("position"), intercept = FALSE)
      )
    )
  },
  # Covariates that multiply, one of them the same within each listener; terms of unlike order.
  covariates = function(...) {
    rows <- mixed_panel(listener = mixed_names(whole(8, 14), "L"), days = c(0, 2, 7), prototype = c("A", "B", "C"), ...)
    rows$age <- round(35 + mixed_effect(rows, "listener", 9))
    rows$score <- mixed_effect(rows, "listener") + rows$days / 5 * (rows$age - 35) / 10 +
      mixed_effect(rows, "prototype") + rnorm(nrow(rows))
    list(
      rows = rows, covariates = list("age", "days"), random = list(list(group = "listener")),
      fixed = one_of(
        list("age", "days", c("age", "days")),
        list("prototype", "age", "days", c("prototype", "days"), c("age", "days")),
        list("prototype", "days", "age", c("prototype", "days"), c("prototype", "age"))
      )
    )
  },
  # Ratings of a scale with few values, as panels give them.
  scale = function(...) {
    rows <- mixed_panel(
      listener = mixed_names(whole(6, 15), "L"), session = 1:3, prototype = mixed_prototypes(3),
      excerpt = c("x", "y"), ...
    )
    score <- 5 + mixed_effect(rows, "listener") + mixed_effect(rows, "prototype") +
      mixed_effect(rows, c("listener", "session")) + rnorm(nrow(rows))
    rows$score <- pmin(9, pmax(1, round(score)))
    list(
      rows = rows, fixed = list("prototype", "excerpt"),
      random = list(
        list(group = "listener"), list(group = c("listener", "session")), list(group = c("listener", "prototype"))
      )
    )
  }
)

mixed_draw <- function(scenario = sample(names(mixed_scenarios), 1)) {
  made <- mixed_scenarios[[scenario]]()
  # Rows come in any order, the response in any units.
  made$rows <- made$rows[sample(nrow(made$rows)), , drop = FALSE]
  unit <- one_of(1, 1, 1, 100, 0.01)
  made$rows$score <- signif(made$rows$score * unit + one_of(0, 0, 50 * unit), one_of(4, 6, 12))
  rownames(made$rows) <- NULL
  fixed <- lapply(made$fixed, function(term) if (length(term) > 1) I(term) else term)
  random <- lapply(made$random, function(one) {
    if (length(one$group) > 1) one$group <- I(one$group)
    one
  })
  input <- list(rows = made$rows, response = "score", fixed = fixed, random = random)
  if (length(made$covariates) > 0) input$covariates <- made$covariates
  factors <- setdiff(unlist(Filter(function(term) length(term) == 1, made$fixed)), unlist(made$covariates))
  if (length(factors) > 0) input$compare <- one_of(NULL, sample(factors, 1))
  c(input, list(method = one_of("reml", "reml", "ml"), level = one_of(0.95, 0.8, 0.99)))
}
