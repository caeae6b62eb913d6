/* Is a difference between two sets of runs more than chance? Members are paired: the m-th of each set had the same
 * seed and the same draw of what nobody knows, so that their difference comes from the choice. */
#ifndef THAW_STUDY_PAIRED_H
#define THAW_STUDY_PAIRED_H

#include "study/headline.h"

typedef struct thaw_paired {
    int n;                         /* pairs in which both numbers mean something */
    double difference;             /* median of b - a, in the number's own unit (SI); infinite: beyond the rinse */
    double low, high;              /* of the mean difference, 95 %, on the scale of the spread, and */
    double mean;                   /* its middle: logarithm of a ratio, of odds, or plain */
    double p;                      /* chance that luck alone gives so much: paired t test, two-sided; 1 for n < 3 */
    bool is_clear;                 /* set by thaw_paired_judge */
} thaw_paired;

/* Infinite is a time that did not come before the rinse. Where one of a pair is, all pairs count by their sign alone (exact
 * sign test, Dixon and Mood 1946). scratch: n numbers. */
thaw_paired thaw_paired_find(const double *a, const double *b, int n, thaw_spread spread, double *scratch);
/* Which of n comparisons that are looked at together are clear: Holm's step-down at 5 % for all together. */
void thaw_paired_judge(thaw_paired *all, int n);

/* P(|T| > t) for Student's T with nu degrees of freedom, through the regularised incomplete beta function
 * (continued fraction, Abramowitz and Stegun 26.5.8, 26.7.1). */
double thaw_student_tail(double t, double nu);
/* t with P(|T| > t) = p. */
double thaw_student_quantile(double p, double nu);

#endif
