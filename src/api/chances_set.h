/* What the api itself asks of a gathered set. */
#ifndef THAW_API_CHANCES_SET_H
#define THAW_API_CHANCES_SET_H

#include "model/image.h"
#include "thawprint/chances.h"

/* Headline h of every member, SI, NaN for one that did not come through; out[n of the set]. */
void thaw_chances_values(const thaw_chances *chances, int h, double *out);
/* The dry cloth of a member, borrowed; no pixels if it did not come through. */
thaw_image thaw_chances_picture(const thaw_chances *chances, int member);
/* The picture of file i of thaw_chances_file_name, all but the table; the caller frees out->rgb. */
thaw_status thaw_chances_draw(const thaw_chances *chances, int i, thaw_image *out, thaw_error *err);
const char *thaw_chances_title(const thaw_chances *chances);
thaw_status thaw_chances_remove_members(const thaw_chances *chances, thaw_error *err);

#endif
