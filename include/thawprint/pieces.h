/* Pattern pieces on the forecast cloth: which part of it suits which piece. */
#ifndef THAWPRINT_PIECES_H
#define THAWPRINT_PIECES_H

#include <stdbool.h>

#include "thawprint/chances.h"

#define THAW_PIECES_MOST   64      /* cut in all */
#define THAW_PIECES_WISHES 3       /* of one piece */
#define THAW_PIECES_CHANCES_MOST 24

typedef struct thaw_pattern thaw_pattern;

/* Read a pattern: YAML, or the closed shapes of an SVG drawing. On failure *out is untouched and err->text holds every
 * fault found, as for a scenario. */
thaw_status thaw_pattern_load(const char *path, thaw_pattern **out, thaw_error *err);
void thaw_pattern_destroy(thaw_pattern *pattern);
const char *thaw_pattern_title(const thaw_pattern *pattern);
/* A wish in place of those that the file gives a piece; THAW_ERR_ARGUMENT with a reason. `thawprint list
 * wishes` has the words. */
thaw_status thaw_pattern_set_wish(thaw_pattern *pattern, const char *piece, const char *wish, thaw_error *err);
typedef struct thaw_pieces_options {
    thaw_chances_options set;      /* n up to THAW_PIECES_CHANCES_MOST, only_luck, threads, progress, user; no part */
    bool one_way;                  /* all pieces the same way up, whatever the pattern says */
    bool only_fit;                 /* find out whether all fits; run nothing */
} thaw_pieces_options;

/* One that is cut. Lengths in m from the upper left corner of the cloth. */
typedef struct thaw_piece_place {
    const char *name;
    int number, n_cut;             /* the number-th of n_cut */
    bool is_mirrored, is_turned, is_placed;
    bool is_too_wide;              /* for this cloth, across the grain */
    double width_m, length_m;      /* of its box, grain upright */
    double left_m, top_m;
    int n_wishes;
    struct {
        const char *text;
        double mean, least, most;  /* 0 .. 100 over the chances */
    } wishes[THAW_PIECES_WISHES];
    double score;                  /* mean of its wishes; NaN without */
    const char *picture;           /* file; "" where it is not placed */
} thaw_piece_place;

typedef struct thaw_pieces_figures {
    bool fits;
    double cloth_width_m, cloth_length_m;
    double pieces_m2;              /* area of all pieces */
    double length_needed_m;        /* of cloth so wide, as laid; NaN where a piece is too wide */
    double width_needed_m;         /* of the widest piece */
    int n_chances;                 /* that came through */
    double total;                  /* 0 .. 100; NaN without wishes or where nothing was run */
    int n;
    thaw_piece_place places[THAW_PIECES_MOST];
} thaw_pieces_figures;

typedef struct thaw_pieces thaw_pieces;

/* Does all fit? If so, run the chances into `dir`/members and find the best lay; if not, run nothing: figures say which do
 * not fit. The caller destroys *out; scenario and pattern stay until then; the pattern's wished colours are found for this cloth. On failure finished members stay, and the same
 * call goes on. */
thaw_status thaw_pieces_run(const thaw_scenario *scenario, thaw_pattern *pattern, const thaw_pieces_options *options, const char *dir,
                            thaw_pieces **out, thaw_error *err);
void thaw_pieces_destroy(thaw_pieces *pieces);
const thaw_pieces_figures *thaw_pieces_get_figures(const thaw_pieces *pieces);

/* Pictures, pages (`paper`: "a4" or "letter"), pieces.json and scenario.yaml, all or none; then the members go. Only where
 * all fits. *n_pages of the PDF; may be NULL. */
thaw_status thaw_pieces_write(const thaw_pieces *pieces, const char *dir, const char *paper, int *n_pages, thaw_error *err);
/* pieces.json as text; caller frees with thaw_text_free. */
thaw_status thaw_pieces_json(const thaw_pieces *pieces, char **out, thaw_error *err);

#endif
