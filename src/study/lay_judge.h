/* What a lay is worth, while it changes. */
#ifndef THAW_STUDY_LAY_JUDGE_H
#define THAW_STUDY_LAY_JUDGE_H

#include "study/lay.h"

/* What one that is cut looks like where it lies. */
typedef struct thaw_seen {
    double own[THAW_VIEWS_MOST][THAW_MAX_WISHES]; /* scores of its wishes but a match, an outcome each */
    double sum;                    /* of their means over the outcomes */
    thaw_patches patches[THAW_VIEWS_MOST];
} thaw_seen;

typedef struct thaw_judge {
    const thaw_pattern_sheet *sheet;
    const thaw_views *views;
    thaw_probes probes[THAW_MAX_PIECES]; /* own */
    int match[THAW_MAX_PIECES];    /* which of its wishes is a match; -1: none */
} thaw_judge;

/* About `wanted` places on each piece are looked at. The caller releases *out, zeroed before, in any case. */
thaw_status thaw_judge_make(const thaw_pattern_sheet *sheet, const thaw_views *views, int wanted, thaw_judge *out, thaw_error *err);
void thaw_judge_release(thaw_judge *judge);

void thaw_judge_look(const thaw_judge *judge, const thaw_laid *laid, thaw_seen *out);
/* Score of a match for `self` in outcome m; `seen` of all. */
double thaw_judge_match(const thaw_judge *judge, const thaw_lay *lay, const thaw_seen *seen, int self, int m);
/* Sum over all of importance times score; and of importance of those that have wishes. */
double thaw_judge_sum(const thaw_judge *judge, const thaw_lay *lay, const thaw_seen *seen, double *weight);

#endif
