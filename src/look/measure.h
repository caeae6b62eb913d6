/* Figures of the dry cloth, at cell resolution.
 *
 * white      |L* - L*0| <= 6 and sqrt((a* - a*0)^2 + (b* - b*0)^2) <= 8, where L*0 a*0 b*0 is the
 * bare cloth of the same kind. fineness   the L* field minus its mean over a 10 cm square (clipped
 * at the edges); share of its variance at wavelengths under 20 mm, see look/spectrum.h. grain lag
 * along weft and warp at which the autocorrelation of that field falls to 1/e. bleed      the depth
 * a component lends a cell is fixed dye x its absorption summed over the bands. A colour in use
 * accounts for the depth of those components that it is made of, in any proportion: a mixture that
 * splits into its own parts has not bled. A cell shows two or more dyes when it is not white and no
 * single colour accounts for 85 % of its depth. Where one colour in use is made of the parts of two
 * others, places where those two meet are ascribed to it, so the figure is then a lower bound.
 * depth      L*0 minus mean L*. unevenness standard deviation of L*. palette    see look/palette.h. */
#ifndef THAW_LOOK_MEASURE_H
#define THAW_LOOK_MEASURE_H

#include <stdbool.h>

#include "model/figures.h"
#include "model/member.h"
#include "model/print.h"
#include "thawprint/status.h"

#define THAW_WHITE_LIGHTNESS 6.0
#define THAW_WHITE_CHROMA    8.0
#define THAW_BLEED_SINGLE    0.85
#define THAW_FINE_M          0.020
#define THAW_ZONE_M          0.100

/* colours: those sprinkled, repeats allowed. On failure *out is untouched. */
thaw_status thaw_look_measure(const thaw_print *print, int n_colours,
                              const thaw_colour *const *colours, thaw_look_figures *out,
                              thaw_error *err);

/* The same from the colours of the cells alone, as a photograph has them: planes of L*, a*, b*, nx * ny values each;
 * the first is used up. bare: L*a*b* of undyed cloth. Fills all of *out but bleed, which colours do not tell. */
thaw_status thaw_look_measure_lab(double *lab, int nx, int ny, double cell_m, const double bare[3],
                                  thaw_look_figures *out, thaw_error *err);

/* XYZ of undyed, dry cloth. */
void thaw_look_bare(const thaw_cloth_kind *cloth, double xyz[3]);

/* Which colour gives most of the depth of each cell: its index, or THAW_LEAD_WHITE where the cell is white. */
thaw_status thaw_look_lead(const thaw_print *print, int n_colours, const thaw_colour *const *colours, uint8_t *out,
                           thaw_error *err);

/* Mean L* of the cloth as it looks wet or dry. */
thaw_status thaw_look_lightness(const thaw_print *print, bool wet, double *out, thaw_error *err);

#endif
