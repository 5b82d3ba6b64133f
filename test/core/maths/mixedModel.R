# Published data with a grouping, fitted by lme4; printed for mixedModel.test.ts. Debian: r-cran-lme4.
suppressMessages(library(lme4))
one <- function(name, formula, data, y, x, group) {
  fit <- suppressMessages(lmer(formula, data, REML = TRUE, control = lmerControl(
    optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12), check.conv.singular = "ignore")))
  vc <- as.data.frame(VarCorr(fit))$vcov
  re <- ranef(fit, condVar = TRUE)[[1]]
  list(name = name, y = data[[y]], x = unname(split(model.matrix(fit), row(model.matrix(fit)))), group = as.character(data[[group]]),
       beta = unname(fixef(fit)), covariance = as.vector(as.matrix(vcov(fit))), between = vc[1], within = vc[2],
       criterion = as.numeric(REMLcrit(fit)), groups = rownames(re), modes = re[[1]])
}
num <- function(v) paste0("[", paste(formatC(as.numeric(v), digits = 17, format = "g"), collapse = ","), "]")
txt <- function(v) paste0("[", paste0('"', v, '"', collapse = ","), "]")
show <- function(r) paste0('{"name":"', r$name, '","y":', num(r$y), ',"x":[', paste(sapply(r$x, num), collapse = ","), '],"group":', txt(r$group),
  ',"beta":', num(r$beta), ',"covariance":', num(r$covariance), ',"between":', num(r$between), ',"within":', num(r$within),
  ',"criterion":', num(r$criterion), ',"groups":', txt(r$groups), ',"modes":', num(r$modes), '}')
all <- list(
  one("Dyestuff", Yield ~ 1 + (1 | Batch), Dyestuff, "Yield", NULL, "Batch"),
  one("Dyestuff2", Yield ~ 1 + (1 | Batch), Dyestuff2, "Yield", NULL, "Batch"),
  one("sleepstudy", Reaction ~ Days + (1 | Subject), sleepstudy, "Reaction", NULL, "Subject"),
  one("cake", angle ~ recipe + temperature + (1 | replicate), within(cake, temperature <- as.numeric(as.character(temperature))), "angle", NULL, "replicate"),
  one("cbpp", incidence ~ period + (1 | herd), cbpp, "incidence", NULL, "herd"))
cat("[", paste(sapply(all, show), collapse = ","), "]", sep = "")
