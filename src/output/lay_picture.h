/* Pictures of a lay: the whole cloth with the pieces on it, and each piece cut out. */
#ifndef THAW_OUTPUT_LAY_PICTURE_H
#define THAW_OUTPUT_LAY_PICTURE_H

#include "model/cut_out.h"
#include "thawprint/status.h"

/* The caller frees out->rgb; untouched on failure. */
thaw_status thaw_lay_picture(const thaw_lay_sheet *sheet, thaw_image *out, thaw_error *err);
/* Piece i as it is drawn, upright; the cloth shows within its outline only. */
thaw_status thaw_lay_piece_picture(const thaw_lay_sheet *sheet, int i, thaw_image *out, thaw_error *err);

#endif
