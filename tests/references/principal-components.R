# Makes principal-components.json with R (4.2.2, base only), independent of the code it checks.
#
# Run in this folder: Rscript principal-components.R
number <- function(x) sprintf("%.15g", x)
numbers <- function(x) paste0("[", paste(number(x), collapse = ", "), "]")
table <- function(x) paste0("[\n    ", paste(apply(as.matrix(x), 1, numbers), collapse = ",\n    "), "]")
fields <- function(...) {
  parts <- list(...)
  paste0("{", paste(sprintf("\"%s\": %s", names(parts), unlist(parts)), collapse = ",\n  "), "}")
}
text <- function(x) paste0("\"", x, "\"")
rversion <- paste0("R ", R.version$major, ".", R.version$minor)

one <- function(id, description, source, rows, scale, extra = list()) {
  found <- prcomp(rows, scale. = scale)
  keep <- seq_len(min(nrow(rows) - 1, ncol(rows)))
  # The largest loading in size is positive.
  signs <- apply(found$rotation, 2, function(v) sign(v[which.max(abs(v))]))
  turned <- function(x) sweep(x, 2, signs, "*")[, keep, drop = FALSE]
  variance <- found$sdev[keep]^2
  parts <- c(
    list(
      id = text(id), description = text(description), source = text(source),
      confirmedBy = text(paste(rversion, "prcomp, columns turned so that the largest loading in size is positive"))
    ),
    extra,
    list(
      tolerance = "{\"relative\": 1e-10, \"absolute\": 1e-12}",
      inputs = fields(rows = table(rows), scale = if (scale) "true" else "false"),
      expected = fields(
        loadings = table(turned(found$rotation)), scores = table(turned(found$x)), variance = numbers(variance),
        share = numbers(variance / sum(variance))
      )
    )
  )
  do.call(fields, parts)
}

published <- function(values, tolerance) {
  parts <- sprintf("\"%s\": {\"value\": %s, \"tolerance\": %s}", names(values), number(values), number(tolerance))
  paste0("{", paste(parts, collapse = ", "), "}")
}
arrests <- "McNeil (1977), Interactive Data Analysis, data set USArrests of R's datasets"
table_10_1 <- c(
  "loadings/0/0" = 0.5358995, "loadings/1/0" = 0.5831836, "loadings/2/0" = 0.2781909, "loadings/3/0" = 0.5434321,
  "loadings/0/1" = -0.4181809, "loadings/1/1" = -0.1879856, "loadings/2/1" = 0.8728062, "loadings/3/1" = 0.1673186
)
set.seed(20261201)
ratings <- round(matrix(rnorm(5 * 8, 5, 2), 5) %*% diag(c(3, 2, rep(1, 6))), 1)
writeLines(c("[", paste(c(
  one("pca-usarrests", "50 rows of 4 attributes in unlike units, scaled",
    paste0(
      "James, Witten, Hastie & Tibshirani (2013), An Introduction to Statistical Learning, Table 10.1 (loadings of the ",
      "first two components; the second turned round); data: ", arrests
    ),
    USArrests, TRUE,
    list(
      publishedOrigin = text("value from memory, confirmed by computation"),
      published = published(table_10_1, 5.1e-8)
    )
  ),
  one("pca-usarrests-unscaled", "the same as they stand: one attribute outweighs the others",
    paste("prcomp as R documents it; data:", arrests), USArrests, FALSE),
  one("pca-wide", "more attributes than rows", "synthetic ratings", ratings, TRUE),
  one("pca-wide-unscaled", "more attributes than rows, as they stand", "synthetic ratings", ratings, FALSE)
), collapse = ",\n"), "]"), "principal-components.json")
