/* The figures of cloths, dyes and colours as lines of text, for the catalogue and for what is one's own. */
#ifndef THAW_API_CATALOGUE_DETAIL_H
#define THAW_API_CATALOGUE_DETAIL_H

#include "model/materials.h"
#include "scenario/writer.h"


void thaw_detail_cloth(thaw_writer *w, const thaw_cloth_kind *cloth);
void thaw_detail_dye(thaw_writer *w, const thaw_component *dye);
/* `parts[i]`: the dye of part i. */
void thaw_detail_colour(thaw_writer *w, const thaw_colour *colour, const thaw_component *const *parts);
/* What the figures of a kind mean: "" for kinds without. */
void thaw_detail_legend(thaw_writer *w, const char *kind);

#endif
