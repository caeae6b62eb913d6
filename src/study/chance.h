/* Sets of runs: many outcomes of one specification, and what they have in common. */
#ifndef THAW_STUDY_CHANCE_H
#define THAW_STUDY_CHANCE_H

#include <stdbool.h>

#include "model/image.h"
#include "model/member.h"
#include "model/specification.h"
#include "study/headline.h"

typedef struct thaw_set_plan {
    const thaw_specification *spec;
    int n;                         /* members of the whole set */
    bool only_luck;                /* members differ in their seeds, not in what nobody knows exactly */
    double cell_m;                 /* of the members */
} thaw_set_plan;

/* Asked now and then by a running member; false stops it. */
typedef bool (*thaw_member_keep_on)(void *user, double share);

/* Run member m. A failure of its numerics is a member that did not come through, not a failure of the call. The
 * caller releases *out with thaw_member_release; outputs untouched on failure. */
thaw_status thaw_member_run(const thaw_set_plan *plan, int m, thaw_member_keep_on keep_on, void *user,
                            thaw_member *out, thaw_error *err);
void thaw_member_release(thaw_member *member);

/* The colours of a specification without repeats, in order. Returns how many. */
int thaw_set_colours(const thaw_specification *spec, const thaw_colour *colours[THAW_MAX_DYE_ZONES]);

#define THAW_SET_OTHERS 6

typedef struct thaw_set_summary {
    int n_came_through;
    int typical;                   /* the member nearest to all others: least sum of mean L*a*b* distances */
    int n_others, others[THAW_SET_OTHERS]; /* spread over the distance from the typical one, near to far */
    double quantiles[THAW_MEMBER_NUMBERS][3]; /* P10, P50, P90; NaN where the number means nothing */
    int nx, ny;
    double cell_m;
    int n_colours;
    float *white;                  /* own, a cell each: share of the members that are white there */
    float *lead[THAW_MAX_DYE_ZONES]; /* own: share of members in which the colour leads */
} thaw_set_summary;

/* Members of one set, n of them; those that did not come through are passed over. THAW_ERR_UNPHYSICAL if fewer than
 * two did, THAW_ERR_FILE if their cells differ. The caller releases *out with thaw_set_summary_release; untouched on failure. */
thaw_status thaw_set_summarise(const thaw_specification *spec, const thaw_member *members, int n,
                               thaw_set_summary *out, thaw_error *err);
void thaw_set_summary_release(thaw_set_summary *summary);

/* Quantile p of n values (Hyndman and Fan 1996, definition 7, linear between order statistics); sorts them. NaN
 * values are left out; infinite ones count as the largest. */
double thaw_quantile(double *values, int n, double p);

#endif
