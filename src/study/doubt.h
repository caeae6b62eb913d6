/* How far the headline numbers of one run may be off: a set of coarse runs in which chance and what nobody knows
 * exactly differ (study/unknowns.h). The set gives the spread, the run itself the middle: coarse cells shift some
 * numbers, so that only the width is taken from them. Times and lengths spread in their logarithm, shares in
 * their odds; P10 and P90 are the middle +- t s, s the standard deviation over the members and t Student's
 * quantile of 90 % for so few. */
#ifndef THAW_STUDY_DOUBT_H
#define THAW_STUDY_DOUBT_H

#include <stdbool.h>

#include "model/specification.h"
#include "study/headline.h"
#include "thawprint/preview.h"

#define THAW_DOUBT_MEMBERS 6
#define THAW_DOUBT_LEAST 4         /* members that must have come through for a range */

/* share of the set that is done; false stops. */
typedef bool (*thaw_doubt_progress)(void *user, double share);

/* The full run of spec, if it is still to be made: it fills the numbers of *figures. */
typedef thaw_status (*thaw_doubt_full_run)(void *user, thaw_error *err);

/* Fills the ranges of *figures, whose numbers are those of a full run of spec. Members run side by side, on the
 * threads that OpenMP gives; full_run, if not NULL, beside them on the calling thread. On failure the ranges are
 * untouched; THAW_ERR_CANCELLED if progress stopped it. */
thaw_status thaw_doubt_find(const thaw_specification *spec, thaw_doubt_full_run full_run, thaw_doubt_progress progress,
                            void *user, thaw_preview_figures *figures, thaw_error *err);

/* All ranges unknown. */
void thaw_doubt_leave_out(thaw_preview_figures *figures);

/* P10 and P90 of a number from the members'. NaN members are left out; an infinite one lies beyond what was run,
 * and so does P90 then. NaN where the middle is not finite or too few members are. */
void thaw_doubt_range(double middle, const double *members, int n, thaw_spread scale, double out[2]);

#endif
