/* A knife pleat: cloth goes forward, turns under and goes back, pleat upon pleat like tiles on a roof. */
#ifndef THAW_SETUP_PLEAT_H
#define THAW_SETUP_PLEAT_H

#include <stdbool.h>

typedef struct thaw_pleat {
    double along;                  /* place in the plan, from where the pleat begins */
    double layers;                 /* height above the tip, in layers of cloth */
    bool back;                     /* on the part that goes back, which lies upside down */
} thaw_pleat;

/* c: 0 .. cloth, the way along the cloth of one pleat; plan: the way that it goes on in the plan, above 0 and
 * at most cloth. Pleat after pleat the place goes on without a jump, and so does the height but for the layer
 * that the next pleat lies higher or lower. */
thaw_pleat thaw_pleat_of(double c, double cloth, double plan);
/* Mean of `along` over the cloth of a pleat, less plan / 2: by how much the cloth lies on the side of its tip. */
double thaw_pleat_bias(double cloth, double plan);

#endif
