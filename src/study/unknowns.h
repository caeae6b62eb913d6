/* What nobody knows exactly about a piece of work, and a member of a set of runs in which it differs. Each input
 * has a P10 and a P90 about the scenario's value, normal between them, and independent of the others (the table in
 * unknowns.c). Members are a Latin hypercube: over n members each input passes once through each n-th of its
 * spread. Chance differs too: every member has its own seed. */
#ifndef THAW_STUDY_UNKNOWNS_H
#define THAW_STUDY_UNKNOWNS_H

#include "model/specification.h"

/* Points at itself: do not copy. */
typedef struct thaw_variation {
    thaw_specification spec;
    thaw_cloth_kind cloth;         /* spec.cloth */
    double fixation, hydrolysis, sorption, solubility; /* of every dye: times what the tables say */
} thaw_variation;

/* Member 0 .. n_members - 1 of the set about spec; spec->seed decides the set. only_luck: the seed alone differs. */
void thaw_unknowns_vary(const thaw_specification *spec, int member, int n_members, bool only_luck, thaw_variation *out);
/* A dye as the variation has it. */
thaw_component thaw_variation_dye(const thaw_variation *variation, const thaw_component *dye);

int thaw_unknowns_count(void);
/* Name, P90 about the value, and whether that is a factor (P10 is one over it) or a difference. */
void thaw_unknowns_at(int i, const char **name, double *p90, bool *is_factor);

#endif
