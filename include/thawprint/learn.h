/* What several recorded pieces tell of a person's own kitchen. */
#ifndef THAWPRINT_LEARN_H
#define THAWPRINT_LEARN_H

#include <stdbool.h>

#include "thawprint/preview.h"
#include "thawprint/status.h"

#define THAW_LEARN_MOST   64       /* pieces */
#define THAW_LEARN_CLOTHS 24

typedef struct thaw_learn_options {
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
} thaw_learn_options;

/* A factor and between what it lies four times out of five. */
typedef struct thaw_learnt_factor {
    double value, low, high;
} thaw_learnt_factor;

/* A number of one piece: what was foretold and what happened. NaN where nothing is known. */
typedef struct thaw_lesson_number {
    double fact;
    double before;                 /* as the tables have it, without any kitchen */
    double after;                  /* with what all pieces tell */
    double held_out;               /* with what the other pieces tell */
} thaw_lesson_number;

typedef struct thaw_learn_figures {
    int n;                         /* pieces */
    struct {
        const char *title;
        const char *cloth;
        thaw_lesson_number melt_h, climb_cm;
    } pieces[THAW_LEARN_MOST];
    int n_melts, n_climbs;         /* pieces that tell of each */
    thaw_learnt_factor heat;
    int n_cloths;
    struct {
        const char *name;
        int n_climbs;
        thaw_learnt_factor conductivity;
        double spread;             /* P90 of what is left unsure, a factor */
    } cloths[THAW_LEARN_CLOTHS];
    /* Mean errors as shares, |factor| - 1: over melt times, over climbs; NaN where there are none. */
    double melt_error[3], climb_error[3]; /* before, after, held out */
    bool is_better;                /* pieces held out are foretold better than before */
    bool can_hold_out;             /* there are others to learn from */
} thaw_learn_figures;

typedef struct thaw_learnt thaw_learnt;

/* Folders of `preview` with a record.json. Some runs on coarse cells are made. THAW_ERR_SCENARIO where a folder holds no run or
 * no record, or nothing can be learnt. The caller destroys *out; untouched on failure. */
thaw_status thaw_learn_run(const char *const *folders, int n, const thaw_learn_options *options, thaw_learnt **out, thaw_error *err);
void thaw_learnt_destroy(thaw_learnt *learnt);
const thaw_learn_figures *thaw_learnt_get_figures(const thaw_learnt *learnt);
/* kitchen.yaml and learn.json, both or none. */
thaw_status thaw_learnt_write(const thaw_learnt *learnt, const char *dir, thaw_error *err);
/* learn.json as text; caller frees with thaw_text_free. */
thaw_status thaw_learnt_json(const thaw_learnt *learnt, char **out, thaw_error *err);

#endif
