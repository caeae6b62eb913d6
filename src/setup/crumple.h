/* Where a picture says how much the hands gather the cloth: the share of the plan area that is left is
 * to^(darkness), so black is gathered to the full, white lies as it lay, and half grey is half way in logarithm. */
#ifndef THAW_SETUP_CRUMPLE_H
#define THAW_SETUP_CRUMPLE_H

#include <stddef.h>

#include "model/specification.h"
#include "setup/scrunch_sheet.h"

/* Darkness of the picture at every node of the sheet, which it covers: 0 .. 1, smooth, as hands cannot gather sharply. */
void thaw_crumple_darken(const thaw_mask *mask, const thaw_sheet *sheet, double *dark);

/* Where the hands lead each node in the plan: `plan` (z is left alone) is moved until ways along dark cloth are
 * as long as the gathering at this progress (0 .. 1) asks and no way is longer than the cloth is. Cloth round a
 * gathered place is drawn towards it and so gets too wide for where it lies: that is what makes folds run out from it. */
void thaw_crumple_plan(const double *dark, double to, double progress, int sweeps, thaw_sheet *plan);
/* Pushes that bring the sheet so much of the way to the plan. */
void thaw_crumple_push(const thaw_sheet *plan, double share, thaw_sheet *sheet);

#endif
