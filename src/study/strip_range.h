/* Between what K_s / phi and h_e of a strip test lie. Profile likelihood: a value is inside while the best fit that
 * has it leaves a sum of squares at most s2 t2 above the least. s2 joins what a reading is doubted by beforehand
 * (THAW_STRIP_PRIOR such readings' worth) with how much these readings scatter, so that three readings that happen
 * to lie on the curve are not taken for exact ones; t is Student's quantile for as many degrees of freedom. */
#ifndef THAW_STUDY_STRIP_RANGE_H
#define THAW_STUDY_STRIP_RANGE_H

#include "study/strip_rise.h"

/* One standard deviation of a reading: a ruler, and a front that is not level or stands differently in the next
 * strip. Estimates; replicate strips of the sock knits that were measured scatter by 2 to 15 %. */
#define THAW_STRIP_RULER_M 1e-3
#define THAW_STRIP_SHARE   0.03
#define THAW_STRIP_PRIOR   4.0

double thaw_strip_doubt(double height_m);

typedef struct thaw_strip_range {
    double low, high;              /* 0 and infinite where the readings leave that end open */
} thaw_strip_range;

typedef struct thaw_strip_ranges {
    thaw_strip_range speed_m_s, head_m;
} thaw_strip_ranges;

/* beyond: the chance that a value lies outside its range, 0.1 for 90 %. `fit` is that of these readings. */
void thaw_strip_range_find(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings,
                           const thaw_strip_estimate *fit, double beyond, thaw_strip_ranges *out);

#endif
