/* The same work with the ice line elsewhere along the cloth, or with one thing changed that keeps dye back. */
#ifndef THAW_STUDY_ICE_LINE_H
#define THAW_STUDY_ICE_LINE_H

#include <stddef.h>

#include "model/specification.h"

/* The cloth hangs from `line_m` on. Ice, powder and sprinkled soda keep their amount to the area of cloth. The edge and
 * the way down stay, as far as there is cloth for them; hangs_free: all of the rest hangs down, as the file left it open. */
void thaw_ice_line_move(const thaw_specification *spec, double line_m, bool hangs_free, thaw_specification *out);

/* Height of the free end over the rack. */
double thaw_ice_line_free_end_m(const thaw_specification *spec);

typedef enum thaw_remedy {
    THAW_REMEDY_LEVEL,             /* free end no lower than the ice */
    THAW_REMEDY_EDGE,              /* higher edge, free end no lower than the ice */
    THAW_REMEDY_LESS_ICE,
    THAW_REMEDY_DRIER,             /* less water in the cloth at the start */
    THAW_REMEDY_SHORTER,           /* rinsed earlier */
    THAW_REMEDY_OPEN,              /* open air instead of film */
    THAW_REMEDY_TIE,               /* a tie across the cloth below the wanted end */
    THAW_REMEDY_ALL,               /* all that apply */
    THAW_REMEDIES
} thaw_remedy;

const char *thaw_remedy_key(thaw_remedy remedy);
/* The change made, for dye that is to end at end_m; false, and nothing changed, where it does not apply. `what`: words. */
bool thaw_remedy_apply(thaw_remedy remedy, double end_m, thaw_specification *spec, char *what, size_t size);

#endif
