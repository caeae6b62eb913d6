/* The list of supplies alone, for the page too. */
#ifndef THAW_API_SUPPLIES_LIST_H
#define THAW_API_SUPPLIES_LIST_H

#include "thawprint/supplies.h"

/* Fills what needs no run: cloth, soak, powder, ice and how much of its place it covers. Of `figures` start and packets are
 * set, or zero for the usual ones; half filled on failure. */
thaw_status thaw_supplies_list(const thaw_scenario *scenario, thaw_supplies_figures *figures, thaw_error *err);

#endif
