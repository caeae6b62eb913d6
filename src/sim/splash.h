/* Where drops wet the cloth: a patch round the place they fall on, and in it all cells that lie open to the sky. Where cloth
 * slopes several cells lie over one square of the tray, and share what falls there. */
#ifndef THAW_SIM_SPLASH_H
#define THAW_SIM_SPLASH_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/dye_list.h"
#include "thawprint/status.h"

typedef struct thaw_landing {
    int32_t cell;
    double water_kg;
} thaw_landing;

typedef struct thaw_splash {
    const thaw_bundle *bundle;
    int n_powders;
    int n_stencil;
    int *stencil_x, *stencil_y;    /* own: squares that a drop wets, round its own */
    int32_t *first_open;           /* own, squares + 1 */
    int32_t *open;                 /* own: cells of each square, the highest first */
    double *water_kg, *dye_kg[THAW_MAX_POWDERS]; /* own, squares: fallen there in the step */
    int n_wet;
    int32_t *wet;                  /* own: squares on which any fell, in the order of the first drop */
} thaw_splash;

thaw_status thaw_splash_create(const thaw_bundle *bundle, int n_powders, thaw_splash *out, thaw_error *err);
void thaw_splash_destroy(thaw_splash *splash);
/* How many squares of the patch round a place have cloth. */
int thaw_splash_hits(const thaw_splash *splash, double x_m, double y_m);
/* Water and powders (kg, n_powders) come down there, in equal parts on the squares of the patch that have cloth: hits, not 0. */
void thaw_splash_add(thaw_splash *splash, double x_m, double y_m, int hits, double water_kg, const double *dye_kg);
/* What fell since, as landings on cells; dye_kg: of each powder, by landing. Returns how many, at most thaw_splash_room. */
int thaw_splash_take(thaw_splash *splash, thaw_landing *landings, double *const *dye_kg);
int thaw_splash_room(const thaw_splash *splash);

#endif
