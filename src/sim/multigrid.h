/* One V-cycle of multigrid for A y = r, A = diagonal + linearised web, as a preconditioner. Coarse
 * cells are blocks of 2 x 2 cloth cells. Edges in the plane are relaxed by damped Jacobi; links between layers
 * are so stiff that they are solved at once, down each tree of cells that rest on each other (sim/forest.h).
 * On a coarse level every block rests on the one block below on which most of its cells rest, with the weight
 * of all of them, so that there too layers form trees. Coarse levels leave gravity out. */
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
/* Take over a Jacobian; diagonal of n. */
void thaw_multigrid_set(thaw_multigrid *mg, const thaw_web *web, const double *diagonal, const thaw_web_slope *slope);
/* y = V-cycle applied to r, and product = A y. */
void thaw_multigrid_apply(thaw_multigrid *mg, thaw_team team, const float *r, float *y, float *product);

#endif
