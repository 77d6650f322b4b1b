# JSON as base R has no writer of its own. Numbers carry up to 17 digits, so that a double is read back unchanged.
#   named list            object             unnamed list, matrix, vector of 2 and more   array
#   one number or text    itself             I(x)                                         array, also of one or none
#   NA                    null               data frame                                   array of objects

json_text <- function(text) {
  text <- gsub("\\", "\\\\", text, fixed = TRUE)
  paste0("\"", gsub("\"", "\\\"", text, fixed = TRUE), "\"")
}

json_scalar <- function(x) {
  if (is.na(x) && !is.nan(x)) return("null")
  if (is.character(x)) return(json_text(x))
  if (is.logical(x)) return(if (x) "true" else "false")
  if (!is.finite(x)) stop("JSON has no ", x)
  brief <- sprintf("%.15g", x)
  if (as.numeric(brief) == x) brief else sprintf("%.17g", x)
}

json_array <- function(pieces) paste0("[", paste(pieces, collapse = ","), "]")

json <- function(x) {
  if (is.data.frame(x)) {
    pieces <- Map(function(name, column) paste0(json_text(name), ":", vapply(column, json_scalar, "")), names(x), x)
    return(json_array(paste0("{", do.call(paste, c(unname(pieces), sep = ",")), "}")))
  }
  if (is.matrix(x)) return(json_array(apply(x, 1, function(row) json(I(row)))))
  if (is.list(x) && !is.null(names(x))) {
    pieces <- vapply(x, json, "")
    return(paste0("{", paste(json_text(names(x)), pieces, sep = ":", collapse = ","), "}"))
  }
  if (is.list(x)) return(json_array(vapply(x, json, "")))
  if (inherits(x, "AsIs")) return(json_array(vapply(unclass(x), json_scalar, "")))
  if (length(x) == 1) json_scalar(x) else json_array(vapply(x, json_scalar, ""))
}
