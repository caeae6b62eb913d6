/* How fine a field is: shares of its variance by wavelength, and how far it stays alike.
 * The field is multiplied by a cosine taper over the outer tenth at each edge (sharp edges would
 * look like fine detail), padded with zeros and transformed. Autocorrelations are divided by that
 * of the taper, so that neither taper nor padding makes the field seem shorter-ranged than it is.
 */
#ifndef THAW_LOOK_SPECTRUM_H
#define THAW_LOOK_SPECTRUM_H

#include "thawprint/status.h"

typedef struct thaw_spectrum {
    double fine_share; /* of the variance, at wavelengths under the limit */
    double grain_x_m,
        grain_y_m; /* lag at which the autocorrelation falls to 1/e; the longest lag looked
                      at (a third of the field, at most 15 cm) if it never does */
} thaw_spectrum;

/* nx * ny values, cells of cell_m; `fine_m` is the limit. The mean is taken out here. A field
 * without variance gives zeros. */
thaw_status thaw_spectrum_measure(const double *field, int nx, int ny, double cell_m, double fine_m,
                                  thaw_spectrum *out, thaw_error *err);

/* In place: field minus its mean over the square window of 2 * half + 1 cells around each cell,
 * clipped at the edges, by a summed-area table. */
thaw_status thaw_spectrum_take_out_zones(double *field, int nx, int ny, int half, thaw_error *err);

#endif
