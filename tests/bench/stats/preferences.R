# Bradley–Terry from 50,000 raw rows of 20 items; the same rows as in preferences.ts.
local({
  next_of <- draws(1)
  u <- matrix(next_of(150000, 2147483647), nrow = 3)
  first <- u[1, ] %% 20
  second <- u[2, ] %% 19
  second <- second + (second >= first)
  worth <- function(item) item + 5
  win <- as.numeric(u[3, ] %% (worth(first) + worth(second)) < worth(first))

  design <- outer(first, 1:19, "==") - outer(second, 1:19, "==")
  on_rows <- function() glm(win ~ 0 + design, family = binomial)
  worths <- function(fit) {
    of_items <- c(0, unname(coef(fit)))
    of_items - mean(of_items)
  }
  show("bt-glm", median_ms(on_rows, 3), worths(on_rows()))

  pair <- paste(pmin(first, second), pmax(first, second))
  low_wins <- tapply(ifelse(first < second, win, 1 - win), pair, sum)
  trials <- tapply(win, pair, length)
  which <- do.call(rbind, strsplit(names(trials), " "))
  small <- outer(as.numeric(which[, 1]), 1:19, "==") - outer(as.numeric(which[, 2]), 1:19, "==")
  on_counts <- function() glm(cbind(low_wins, trials - low_wins) ~ 0 + small, family = binomial)
  show("bt-glm-counts", median_ms(on_counts, 9), worths(on_counts()))

  if (!installed("BradleyTerry2")) return(invisible())
  names <- sprintf("i%02d", 0:19)
  rows <- data.frame(win = win)
  rows$first <- factor(names[first + 1], names)
  rows$second <- factor(names[second + 1], names)
  by_package <- function() BradleyTerry2::BTm(win, first, second, data = rows)
  show("bt-package", median_ms(by_package, 5), worths(by_package()))
})
