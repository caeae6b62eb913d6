/* One V-cycle of multigrid for (diagonal + web without gravity) y = r, as a preconditioner. Coarse
 * cells are blocks of 2 x 2 cloth cells. Edges in the plane are relaxed by damped Jacobi; links between layers
 * are so stiff that they are solved at once, down each tree of cells that rest on each other (sim/forest.h).
 * On a coarse level every block rests on the one block below on which most of its cells rest, with the weight
 * of all of them, so that there too layers form trees. */
#ifndef THAW_SIM_MULTIGRID_H
#define THAW_SIM_MULTIGRID_H

#include "sim/forest.h"
#include "sim/team.h"
#include "sim/web.h"

typedef struct thaw_multigrid thaw_multigrid;

thaw_status thaw_multigrid_create(const thaw_web *web, thaw_multigrid **out, thaw_error *err);
void thaw_multigrid_destroy(thaw_multigrid *mg);
/* Take over the web's present conductances. */
void thaw_multigrid_refresh(thaw_multigrid *mg, const thaw_web *web);
/* Set the diagonal, and what runs off to the cell below, one way (n values each of the finest level). */
void thaw_multigrid_set(thaw_multigrid *mg, const float *diagonal, const float *spill);
/* y = V-cycle applied to r. */
void thaw_multigrid_apply(thaw_multigrid *mg, thaw_team team, const float *r, float *y);
/* The trees of the finest level. */
const thaw_forest *thaw_multigrid_forest(const thaw_multigrid *mg);

#endif
