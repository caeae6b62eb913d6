/* What a kitchen does otherwise, from pieces that were recorded: the most likely factors on the exchange of heat and on the
 * conductivity of each cloth (maximum a posteriori). The prior is what study/unknowns.c and the cloth itself hold to be
 * unsure, normal in the logarithm; so are the facts about what the lessons tell. Within the bounds that a kitchen may have. */
#ifndef THAW_STUDY_KITCHEN_FIT_H
#define THAW_STUDY_KITCHEN_FIT_H

#include "study/lesson.h"

#define THAW_FIT_CLOTHS 24

/* One standard deviation of a fact, in its logarithm. Estimates: seeing when the last ice goes, and the throw of the dice in
 * how it lies; a wavy edge, read by eye, 1 cm added. */
#define THAW_FACT_MELT  0.10
#define THAW_FACT_CLIMB 0.15

typedef struct thaw_kitchen_fit {
    double heat_ln, heat_error;    /* logarithm of the factor, and its standard deviation */
    int n_cloths;
    double cloth_ln[THAW_FIT_CLOTHS], cloth_error[THAW_FIT_CLOTHS];
} thaw_kitchen_fit;

/* Of n lessons that were run, one of them left out (-1: none). prior_cloth: standard deviation of the logarithm of each
 * cloth's conductivity as the tables have it, n_cloths of them. */
void thaw_kitchen_fit_find(const thaw_lesson *lessons, int n, int left_out, int n_cloths, const double *prior_cloth,
                           thaw_kitchen_fit *out);
/* Standard deviation of the logarithm of the exchange of heat, as unknowns.c has it. */
double thaw_kitchen_prior_heat(void);

#endif
