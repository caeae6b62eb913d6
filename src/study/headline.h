/* The numbers of a run that people compare: one table for ranges, sets of runs and comparisons. */
#ifndef THAW_STUDY_HEADLINE_H
#define THAW_STUDY_HEADLINE_H

#include <stddef.h>

#include "thawprint/preview.h"

/* How a number spreads: times and lengths in their logarithm, shares in their odds, the rest as they are. */
typedef enum thaw_spread { THAW_SPREAD_RATIO, THAW_SPREAD_ODDS, THAW_SPREAD_PLAIN } thaw_spread;

/* A number on the scale on which it spreads. */
double thaw_spread_to(double x, thaw_spread spread);
/* The number that lies `by` farther on that scale; shares of next to nothing or all do not move beyond themselves. */
double thaw_spread_moved(double x, double by, thaw_spread spread);

typedef struct thaw_headline {
    const char *key;               /* "melt_all_h" */
    const char *name;              /* "last ice gone" */
    const char *unit;              /* "h", "mm", "%", "L*" */
    double per_unit;               /* SI of one unit */
    int digits;                    /* after the point, for people */
    thaw_spread spread;
    size_t value, range;           /* places in thaw_preview_figures; range NOWHERE: none */
} thaw_headline;

#define THAW_HEADLINE_NOWHERE ((size_t)-1)
#define THAW_MOST_HEADLINES 16

int thaw_headline_count(void);
const thaw_headline *thaw_headline_at(int h);
/* SI. A time that ice outlasted is infinite; NaN where the number means nothing. */
double thaw_headline_value(const thaw_headline *headline, const thaw_preview_figures *figures);

#endif
