/* Smooth values between cells: cubic Hermite with harmonic-mean slopes (van Leer), which passes
 * through the cell values, has a continuous slope and never leaves the range of the two cells it
 * lies between, so dye never rings below zero. Beyond the edge the last value is repeated. */
#ifndef THAW_LOOK_INTERPOLATE_H
#define THAW_LOOK_INTERPOLATE_H

/* n cells to n * scale values; value p lies at cell (p + 0.5) / scale - 0.5. */
void thaw_interpolate_row(int n, int scale, const double *in, double *out);
/* Between rows[1] (t = 0) and rows[2] (t = 1), with rows[0] and rows[3] beyond them. */
void thaw_interpolate_between(int n, const double *const rows[4], double t, double *out);
/* Cell before value p and how far beyond its centre, 0 <= t < 1. The cell may be -1. */
int thaw_interpolate_place(int p, int scale, double *t);

#endif
