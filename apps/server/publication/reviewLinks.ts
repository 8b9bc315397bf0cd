/** Where a published figure is found. */
export function figureLinks(loanId: string, version: number, unitId: string, name: string) {
  const at = (form: string) =>
    `/api/reviews/${loanId}/versions/${version}/units/${unitId}/figures/${name}.${form}`;
  return { svgUrl: at('svg'), pngUrl: at('png'), csvUrl: at('csv'), descriptionUrl: at('json') };
}
