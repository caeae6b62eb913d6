/* One V-cycle as preconditioner for (diagonal + web) y = b, in single precision.
 * Levels halve the cloth grid in both directions; in plane the coarse edge is the sum of the two
 * fine edges over the doubled distance, links between layers are summed. The web's conductances do
 * not depend on saturation, so levels are rebuilt only when temperature has changed them. */
#ifndef THAW_SIM_MULTIGRID_H
#define THAW_SIM_MULTIGRID_H

#include <stddef.h>

#include "sim/web.h"
#include "thawprint/status.h"

typedef struct thaw_multigrid thaw_multigrid;

thaw_status thaw_multigrid_create(const thaw_web *web, thaw_multigrid **out, thaw_error *err);
void thaw_multigrid_destroy(thaw_multigrid *mg);
/* Take over the web's present conductances. */
void thaw_multigrid_refresh(thaw_multigrid *mg, const thaw_web *web);
/* Set the diagonal (n values of the finest level). */
void thaw_multigrid_set_diagonal(thaw_multigrid *mg, const float *diagonal);
/* y = V-cycle applied to r. A symmetric positive definite operator. */
void thaw_multigrid_apply(thaw_multigrid *mg, const float *r, float *y);

#endif
