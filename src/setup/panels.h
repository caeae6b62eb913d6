/* The panels of a garment as cells. */
#ifndef THAW_SETUP_PANELS_H
#define THAW_SETUP_PANELS_H

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* Needs nx, ny, n, sheet_nx and cell_m; allocates and fills panel, cut and seam, which stay in the bundle for
 * thaw_bundle_release also on failure. THAW_ERR_ARGUMENT if a panel is too small to have a cell. */
thaw_status thaw_panels_fill(const thaw_specification *spec, thaw_bundle *bundle, thaw_error *err);

/* From all cells to those of cloth among the first n, and their number: x, y, z and tie move to the front. */
size_t thaw_panels_pack(thaw_bundle *bundle, size_t n);
/* Back again; what is no cloth comes to lie in the corner of the tray. */
void thaw_panels_unpack(thaw_bundle *bundle, size_t n);
/* Links of seams, after those of layers. */
void thaw_panels_sew(thaw_bundle *bundle);

#endif
