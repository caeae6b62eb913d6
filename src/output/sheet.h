/* Sheets for reading: pictures with captions, a scale bar in cm and inches, and a key, on white. */
#ifndef THAW_OUTPUT_SHEET_H
#define THAW_OUTPUT_SHEET_H

#include "model/image.h"
#include "model/legend.h"
#include "thawprint/status.h"

/* The two pictures of a fold map side by side at one scale, with the key to their shades.
 * out->pixel_m is the size of a sheet pixel on the real cloth. The caller frees out->rgb with
 * thaw_release; on failure *out is untouched. Titles and captions are UTF-8. */
thaw_status thaw_sheet_fold_map(const thaw_image *unfolded, const thaw_image *plan,
                                const thaw_legend *legend, const char *title, thaw_image *out,
                                thaw_error *err);

/* Up to 4 pictures side by side at one scale, each with its caption, and one scale bar. */
thaw_status thaw_sheet_row(const thaw_image *const *images, const char *const *captions,
                           int n_images, const char *title, thaw_image *out, thaw_error *err);

#endif
