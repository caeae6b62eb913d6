/* A sewing pattern, ready to be laid: every piece as it is cut. Metres. */
#ifndef THAW_MODEL_PATTERN_H
#define THAW_MODEL_PATTERN_H

#include <stdbool.h>
#include <stdint.h>

#include "base/polygon.h"
#include "model/materials.h"

#define THAW_MAX_PIECES 48         /* that differ */
#define THAW_MAX_CUTS   64         /* cut in all */
#define THAW_MAX_WISHES 3          /* of one piece */
#define THAW_PIECE_NAME 48

typedef enum thaw_wish_kind {
    THAW_WISH_WHITE,               /* as white as possible */
    THAW_WISH_COLOURED,            /* as coloured as possible */
    THAW_WISH_HEM,                 /* colour at the hem, fading upward */
    THAW_WISH_EVEN,
    THAW_WISH_MATCH,               /* left and right alike */
    THAW_WISH_COLOUR,              /* a given one */
    THAW_WISH_KINDS
} thaw_wish_kind;

typedef struct thaw_wish {
    thaw_wish_kind kind;
    char text[THAW_PIECE_NAME];    /* as a person writes it */
    const thaw_colour *colour;     /* THAW_WISH_COLOUR: of the table; NULL: rgb */
    uint8_t rgb[3];                /* sRGB */
    double lab[3];                 /* of the wished colour; filled in by whoever knows the cloth */
} thaw_wish;

typedef struct thaw_pattern_piece {
    char name[THAW_PIECE_NAME];
    /* As cut: unfolded, allowance added, the grain up and down, the hem below; its box begins at 0, 0. */
    thaw_polygon outline;          /* own */
    thaw_polygon seam;             /* own: where it is sewn, in the same place; no corners without an allowance */
    double down[2];                /* unit vector: downward as drawn, which the grain may turn */
    int n_cut;                     /* so many */
    bool is_mirrored;              /* every second one is cut mirrored */
    bool may_turn;                 /* head to foot */
    int n_wishes;
    thaw_wish wishes[THAW_MAX_WISHES];
    double importance;             /* weight of its score in that of the lay */
} thaw_pattern_piece;

typedef struct thaw_pattern_sheet {
    char title[128];
    bool one_way;                  /* nap or print: all pieces the same way up */
    double gap_m;                  /* between pieces */
    int n;
    thaw_pattern_piece pieces[THAW_MAX_PIECES];
} thaw_pattern_sheet;

#endif
