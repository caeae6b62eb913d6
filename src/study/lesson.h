/* What a recorded piece would have done in another kitchen: how its melt time and its climb follow the exchange of heat with
 * the room and the conductivity of its cloth. A few coarse runs on a cross in the two logarithms; only ratios are taken
 * from them, so that the forecast itself stays the middle. */
#ifndef THAW_STUDY_LESSON_H
#define THAW_STUDY_LESSON_H

#include <stdbool.h>

#include "model/specification.h"
#include "thawprint/status.h"

#define THAW_LESSON_HEATS 3
#define THAW_LESSON_CLOTHS 5

/* A piece that was forecast and recorded. */
typedef struct thaw_lesson {
    const thaw_specification *spec; /* as it was forecast, with the kitchen of that time */
    double heat_ln, cloth_ln;      /* of that kitchen: logarithms of its factors */
    double forecast_melt_s, forecast_climb_m; /* NaN: none */
    double melted_s, climb_m;      /* what happened; NaN: not recorded */
    double rinsed_s;               /* NaN: as forecast */
    int cloth;                     /* pieces of one cloth share a number, 0 .. */
    /* Filled by runs: melt time and climb at the nodes of the cross, then of the piece as it was forecast. */
    double melt_at_heat[THAW_LESSON_HEATS], climb_at_heat[THAW_LESSON_HEATS], climb_at_cloth[THAW_LESSON_CLOTHS];
    double melt_as_forecast_s, climb_as_forecast_m;
    /* Where runs were made anew, and by how much (in the logarithm) they said otherwise there than the cross. */
    double there_heat_ln, there_cloth_ln, melt_off, climb_off;
} thaw_lesson;

/* Logarithms of the factors at the nodes. */
double thaw_lesson_heat_ln(int node);
double thaw_lesson_cloth_ln(int node);

/* Is there something to be learnt: a fact beside a forecast of it? */
bool thaw_lesson_tells_heat(const thaw_lesson *lesson);
bool thaw_lesson_tells_cloth(const thaw_lesson *lesson);

/* share of all runs that is done; false stops. */
typedef bool (*thaw_lesson_progress)(void *user, double share);

/* Runs what is needed, side by side. A fact whose runs did not melt or did not come through is dropped (NaN).
 * THAW_ERR_CANCELLED if progress stopped it. */
thaw_status thaw_lessons_run(thaw_lesson *lessons, int n, thaw_lesson_progress progress, void *user, thaw_error *err);

/* Runs each piece once more, in the kitchen that was found: the cross takes the two factors apart and goes straight between its
 * nodes, which is put right here. cloth_ln: one for each cloth. */
thaw_status thaw_lessons_refine(thaw_lesson *lessons, int n, double heat_ln, const double *cloth_ln, thaw_lesson_progress progress,
                                void *user, thaw_error *err);

/* What the piece would have done; NaN where nothing is told. */
double thaw_lesson_melt_s(const thaw_lesson *lesson, double heat_ln, double cloth_ln);
double thaw_lesson_climb_m(const thaw_lesson *lesson, double heat_ln, double cloth_ln);

#endif
