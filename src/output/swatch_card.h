/* A card of swatches for reading and printing: a row a colour, a column a depth, at a stated physical size. */
#ifndef THAW_OUTPUT_SWATCH_CARD_H
#define THAW_OUTPUT_SWATCH_CARD_H

#include <stdbool.h>
#include <stdint.h>

#include "model/image.h"
#include "thawprint/status.h"

#define THAW_CARD_DEPTHS 4
#define THAW_CARD_TEXT   200

typedef struct thaw_card_swatch {
    double lightness;              /* L*, printed on it */
    uint8_t rgb[3];
    bool is_clipped;
} thaw_card_swatch;

typedef struct thaw_card_row {
    char name[THAW_CARD_TEXT], recipe[THAW_CARD_TEXT];
    thaw_card_swatch swatches[THAW_CARD_DEPTHS];
} thaw_card_row;

typedef struct thaw_card {
    const char *title;
    const char *lines[4];          /* below the title; NULL behind the last */
    double depths_percent[THAW_CARD_DEPTHS];
    thaw_card_swatch bare;         /* undyed cloth */
    int n_rows;
    const thaw_card_row *rows;
    const char *foot[3];           /* NULL behind the last */
} thaw_card;

/* A4 wide, 200 dots to the inch; longer than A4 if the rows need it. The caller frees out->rgb with thaw_release; on
 * failure *out is untouched. */
thaw_status thaw_swatch_card(const thaw_card *card, thaw_image *out, thaw_error *err);

#endif
