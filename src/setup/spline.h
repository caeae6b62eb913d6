/* Cubic weights on an even lattice, and smooth random fields made with them. */
#ifndef THAW_SETUP_SPLINE_H
#define THAW_SETUP_SPLINE_H

#include <stdint.h>

/* B-spline weights of the four lattice points around t in [0, 1): smooth, does not interpolate. */
void thaw_spline_weights(double t, double w[4]);
/* Catmull-Rom weights and their slopes: passes through the lattice points, C1. */
void thaw_spline_catmull(double t, double w[4], double slope[4]);
/* Smooth Gaussian noise of unit variance at x >= 0, x in lattice steps; `first` is the index of the
 * first random number of this line of noise. */
double thaw_spline_noise(uint64_t seed, uint32_t stream, uint64_t first, double x);

#endif
