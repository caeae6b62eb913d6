/* Cloth is not a uniform sheet: smooth random factors on conductivity and pore volume. */
#ifndef THAW_SETUP_UNEVENNESS_H
#define THAW_SETUP_UNEVENNESS_H

#include <stdint.h>

#include "thawprint/status.h"

/* Fill conductivity[n] with lognormal factors of median 1 (sigma_ln 0.5 in all: cell noise, blotches
 * of 5-10 mm, streaks along both yarns) and volume[n] with factors near 1 (sigma 0.05). Estimates:
 * reference figures for the look of real cloth, no measured source. */
thaw_status thaw_unevenness_fill(uint64_t seed, int nx, int ny, double cell_m, double *conductivity,
                                 double *volume, thaw_error *err);

#endif
