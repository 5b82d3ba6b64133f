/**
 * 32 cars of 1974: gross horsepower, weight in 1000 lb without driver, quarter mile in s.
 *
 * Source: H. V. Henderson, P. F. Velleman, Biometrics 37 (1981) 391, as the data set mtcars of R 4; written by
 * `Rscript -e 'write.csv(mtcars[, c("hp", "wt", "qsec")], row.names = FALSE)'`, rows in R's order.
 */
export const quarterMileCars: readonly (readonly [horsepower: number, thousandPounds: number, quarterMileS: number])[] = [
  [110, 2.62, 16.46],
  [110, 2.875, 17.02],
  [93, 2.32, 18.61],
  [110, 3.215, 19.44],
  [175, 3.44, 17.02],
  [105, 3.46, 20.22],
  [245, 3.57, 15.84],
  [62, 3.19, 20],
  [95, 3.15, 22.9],
  [123, 3.44, 18.3],
  [123, 3.44, 18.9],
  [180, 4.07, 17.4],
  [180, 3.73, 17.6],
  [180, 3.78, 18],
  [205, 5.25, 17.98],
  [215, 5.424, 17.82],
  [230, 5.345, 17.42],
  [66, 2.2, 19.47],
  [52, 1.615, 18.52],
  [65, 1.835, 19.9],
  [97, 2.465, 20.01],
  [150, 3.52, 16.87],
  [150, 3.435, 17.3],
  [245, 3.84, 15.41],
  [175, 3.845, 17.05],
  [66, 1.935, 18.9],
  [91, 2.14, 16.7],
  [113, 1.513, 16.9],
  [264, 3.17, 14.5],
  [175, 2.77, 15.5],
  [335, 3.57, 14.6],
  [109, 2.78, 18.6],
];
