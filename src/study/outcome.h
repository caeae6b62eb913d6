/* One chance outcome of one specification: its working parts while it runs, and its figures. */
#ifndef THAW_STUDY_OUTCOME_H
#define THAW_STUDY_OUTCOME_H

#include "model/dye_list.h"
#include "model/print.h"
#include "sim/engine.h"
#include "study/unknowns.h"
#include "thawprint/preview.h"

typedef struct thaw_outcome {
    const thaw_specification *spec;
    const thaw_variation *variation; /* of the dyes; NULL: as the tables say */
    bool is_rough;                 /* longer steps: for a member of which only the numbers count */
    thaw_component varied[THAW_MAX_COMPONENTS]; /* the dyes in use, if there is a variation */
    thaw_dye_list dyes;
    thaw_bundle bundle;            /* own */
    thaw_heap heap;                /* own */
    thaw_engine engine;            /* own */
} thaw_outcome;

/* The dyes of the specification, as the tables have them, into work->dyes. */
void thaw_outcome_list_dyes(thaw_outcome *work);
/* Fold, lay ice and dye, make the engine. work->spec (and variation) set, the rest zeroed; do not move it after. */
thaw_status thaw_outcome_prepare(thaw_outcome *work, thaw_error *err);
void thaw_outcome_clear(thaw_outcome *work);
/* Figures that come from the books of a run that has ended. Ranges are left as they were. */
void thaw_outcome_account(thaw_outcome *work, thaw_preview_figures *figures);
/* What look/ needs. Joins dead and living dye, which the eye does not tell apart: after this no accounts. */
void thaw_outcome_print(thaw_outcome *work, thaw_print *print);
/* All three in order: what a run that has ended gives. */
thaw_status thaw_outcome_conclude(thaw_outcome *work, thaw_print *print, thaw_preview_figures *figures, thaw_error *err);
/* Figures that come from the picture. */
thaw_status thaw_outcome_measure(const thaw_outcome *work, const thaw_print *print, thaw_preview_figures *figures,
                                 thaw_error *err);

#endif
