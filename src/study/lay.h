/* A lay: where on the cloth every piece of a pattern is cut. Grain along the warp; a piece may be turned head to foot, and
 * every second one of a mirrored piece is mirrored. */
#ifndef THAW_STUDY_LAY_H
#define THAW_STUDY_LAY_H

#include <stdint.h>

#include "model/pattern.h"
#include "study/lay_score.h"

/* One that is cut. */
typedef struct thaw_laid {
    int piece;                     /* of the sheet */
    int number;                    /* 1 .. n_cut of the piece */
    bool is_mirrored, is_turned, is_placed;
    int i, j;                      /* upper left corner of its box, steps of THAW_LAY_STEP_M right and down */
    /* Scores 0 .. 100 of its wishes: mean, least and most over the outcomes; and the mean of their means. */
    double wish[THAW_MAX_WISHES][3];
    double score;                  /* NaN without a wish */
} thaw_laid;

typedef struct thaw_lay {
    int n;
    thaw_laid at[THAW_MAX_CUTS];
    double total;                  /* mean of the scores, weighted by importance; NaN without any wish */
} thaw_lay;

/* What is to be laid on what. */
typedef struct thaw_lay_task {
    const thaw_pattern_sheet *sheet;
    double width_m, length_m;      /* of the cloth, weft and warp */
    bool one_way;                  /* all the same way up */
    uint64_t seed;
} thaw_lay_task;

/* Does everything fit, wishes aside? */
typedef struct thaw_lay_room {
    bool fits;
    thaw_lay lay;                  /* where it fits; else with as much as was found room for */
    double length_m;               /* of the cloth that the closest lay found takes; NaN where a piece is too wide */
    double width_m;                /* of the widest piece across the grain */
    double pieces_m2;              /* area of all that is cut */
} thaw_lay_room;

/* All that is cut, none placed yet. */
void thaw_lay_list(const thaw_pattern_sheet *sheet, thaw_lay *out);
/* A piece as it lies on the cloth, m. `line`: its outline or its seam. The caller releases *out. */
thaw_status thaw_laid_outline(const thaw_pattern_sheet *sheet, const thaw_laid *laid, const thaw_polygon *line, thaw_polygon *out,
                              thaw_error *err);

thaw_status thaw_lay_fit(const thaw_lay_task *task, thaw_lay_room *out, thaw_error *err);

/* share of the search done; false stops. Called on the first thread only. */
typedef bool (*thaw_lay_keep_on)(void *user, double share);

/* The best lay found, scored; `room` from thaw_lay_fit, which fits. Same result at any number of threads. */
thaw_status thaw_lay_find(const thaw_lay_task *task, const thaw_views *views, const thaw_lay_room *room,
                          thaw_lay_keep_on keep_on, void *user, thaw_lay *out, thaw_error *err);

/* Scores a lay whose pieces are all placed. */
thaw_status thaw_lay_judge(const thaw_pattern_sheet *sheet, const thaw_views *views, thaw_lay *lay, thaw_error *err);

/* No two pieces share cloth, all lie on it, by exact geometry. THAW_ERR_UNPHYSICAL names the pieces. */
thaw_status thaw_lay_check(const thaw_lay_task *task, const thaw_lay *lay, thaw_error *err);

#endif
