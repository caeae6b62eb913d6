/* The melt as a table for spreadsheets. */
#ifndef THAW_OUTPUT_MELT_CURVE_H
#define THAW_OUTPUT_MELT_CURVE_H

#include "thawprint/status.h"

/* CSV with one header row: time in h, ice left in kg, melt in g/min, mean cloth temperature in deg
 * C (given in kelvin). Six significant digits, a point as decimal mark in every locale. The caller
 * frees *out with thaw_release; on failure *out is untouched. */
thaw_status thaw_melt_curve_text(const double *t_s, const double *ice_kg, const double *melt_kg_s,
                                 const double *cloth_k, int n, char **out, thaw_error *err);

#endif
