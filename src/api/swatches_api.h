/* The colours of a card of swatches, before they are drawn. */
#ifndef THAW_API_SWATCHES_API_H
#define THAW_API_SWATCHES_API_H

#include "look/swatch.h"
#include "scenario/shelf.h"

/* Share of the powder that is fixed in evenly dyed cloth: 50 .. 80 % of what stays in the cloth in practice (seen, for
 * reactive dyes of all classes); 0.70 is the choice within it. */
#define THAW_CARD_FIXED_SHARE 0.70

/* Colour of cloth dyed evenly with `owg` kg of powder per kg of cloth; no more than its ceiling is fixed. */
thaw_status thaw_card_colour(const thaw_cloth_kind *cloth, const thaw_colour *colour, const thaw_shelf *own, double owg,
                             thaw_swatch *out, thaw_error *err);

#endif
