# Makes open-data.json: what R says of three published data sets (data/LICENCES.md), independent of the code they check.
#
# Run in this folder: Rscript open-data.R. Needs lme4, lmerTest and BradleyTerry2, as Debian 12 packages them.
suppressMessages({
  library(lmerTest)
  library(BradleyTerry2)
})
number <- function(x) if (is.na(x)) "null" else sprintf("%.15g", x)
numbers <- function(x) paste0("[", paste(sapply(x, number), collapse = ", "), "]")
texts <- function(x) paste0("[", paste(sprintf("\"%s\"", x), collapse = ", "), "]")
text <- function(x) paste0("\"", x, "\"")
fields <- function(...) {
  parts <- list(...)
  paste0("{", paste(sprintf("\"%s\": %s", names(parts), unlist(parts)), collapse = ", "), "}")
}
list_of <- function(x) paste0("[", paste(x, collapse = ",\n  "), "]")

# Dry-cured ham: 81 consumers, 4 products, each with two kinds of information; liking from 1 to 9.
ham <- read.csv("data/ham.csv", colClasses = c(Consumer = "factor", Product = "factor", Information = "factor"))
# Two products by themselves, as each pair of ours has a model of its own: consumers fixed, their tastes random.
ham_pair <- function(a, b) {
  own <- droplevels(subset(ham, Product %in% c(a, b)))
  own$Product <- relevel(own$Product, ref = b)
  fit <- lmer(Informed.liking ~ Consumer + Product + Information + (1 | Consumer:Product), own, REML = TRUE)
  row <- summary(fit, ddf = "Satterthwaite")$coefficients[paste0("Product", a), ]
  reach <- qt(0.975, row[["df"]]) * row[["Std. Error"]]
  spread <- as.data.frame(VarCorr(fit))$sdcor
  fields(
    first = text(a), second = text(b), difference = number(row[["Estimate"]]),
    lower = number(row[["Estimate"]] - reach), upper = number(row[["Estimate"]] + reach),
    degreesOfFreedom = number(row[["df"]]), p = number(row[["Pr(>|t|)"]]),
    tastes = number(spread[1]), residual = number(spread[2])
  )
}
products <- levels(ham$Product)
pairs <- combn(products, 2)
ham_means <- aggregate(Informed.liking ~ Consumer + Product, ham, mean)
blocks <- anova(lm(Informed.liking ~ Consumer + Product, ham_means))
whole <- anova(lmer(Informed.liking ~ Product * Information + (1 | Consumer) + (1 | Product:Consumer), ham))
ham_json <- fields(
  products = texts(products), means = numbers(tapply(ham$Informed.liking, ham$Product, mean)),
  blocks = fields(f = number(blocks["Product", "F value"]), numerator = number(blocks["Product", "Df"]),
                  denominator = number(blocks["Residuals", "Df"]), p = number(blocks["Product", "Pr(>F)"])),
  model = fields(f = number(whole["Product", "F value"]), numerator = number(whole["Product", "NumDF"]),
                 denominator = number(whole["Product", "DenDF"]), p = number(whole["Product", "Pr(>F)"])),
  pairs = list_of(apply(pairs, 2, function(p) ham_pair(p[1], p[2])))
)

# Carrots: 103 consumers, 12 products once each, of which five stand here; preference from 1 to 7, some missing.
carrots <- subset(read.csv("data/carrots.csv"), Product %in% c("Bolero_L", "Major_L", "Nelson_L", "Turbo_L", "Yukon_E"))
wide <- reshape(carrots[, c("Consumer", "Product", "Preference")], idvar = "Consumer", timevar = "Product", direction = "wide")
kinds <- sort(unique(carrots$Product))
# Means are of those who rated all.
complete <- wide$Consumer[complete.cases(wide)]
of <- function(kind) wide[[paste0("Preference.", kind)]]
two <- combn(kinds, 2)
carrot_pair <- function(a, b) {
  test <- t.test(of(a), of(b), paired = TRUE)
  c(difference = unname(test$estimate), lower = test$conf.int[1], upper = test$conf.int[2], df = unname(test$parameter), p = test$p.value)
}
tests <- apply(two, 2, function(p) carrot_pair(p[1], p[2]))
# The primary pair stands by itself; all others are one family.
primary <- which(two[1, ] == "Bolero_L" & two[2, ] == "Yukon_E")
adjusted <- tests["p", ]
adjusted[-primary] <- p.adjust(tests["p", -primary], "holm")
carrots_json <- fields(
  products = texts(kinds), listeners = number(length(complete)),
  means = numbers(sapply(kinds, function(kind) mean(of(kind)[wide$Consumer %in% complete]))),
  pairs = list_of(sapply(seq_len(ncol(two)), function(i) fields(
    first = text(two[1, i]), second = text(two[2, i]), difference = number(tests["difference", i]),
    lower = number(tests["lower", i]), upper = number(tests["upper", i]), degreesOfFreedom = number(tests["df", i]),
    p = number(tests["p", i]), pAdjusted = number(adjusted[i])
  )))
)

# Sound fields: 20 judgements of each of 28 pairs; a tie is half a win each way, as the columns .adj have it.
fields_heard <- read.csv("data/sound_fields.csv", colClasses = c(field1 = "character", field2 = "character"))
pooled <- aggregate(cbind(win1.adj, win2.adj) ~ field1 + field2, fields_heard, sum)
levels_all <- sort(unique(c(pooled$field1, pooled$field2)))
pooled$field1 <- factor(pooled$field1, levels_all)
pooled$field2 <- factor(pooled$field2, levels_all)
fit <- suppressWarnings(BTm(cbind(win1.adj, win2.adj), field1, field2, data = pooled, br = FALSE, epsilon = 1e-14, maxit = 100))
ability <- BTabilities(fit)[, "ability"]
sound_json <- fields(fields = texts(names(ability)), ability = numbers(ability))

writeLines(fields(
  generator = text(paste0("open-data.R, R ", R.version$major, ".", R.version$minor, ", lme4 ", packageVersion("lme4"),
                          ", lmerTest ", packageVersion("lmerTest"), ", BradleyTerry2 ", packageVersion("BradleyTerry2"))),
  ham = ham_json, carrots = carrots_json, soundFields = sound_json
), "open-data.json")
