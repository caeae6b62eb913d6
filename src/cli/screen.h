/* What `preview` prints when it is done: one screen, and the ledgers for the curious. */
#ifndef THAW_CLI_SCREEN_H
#define THAW_CLI_SCREEN_H

#include <thawprint/preview.h>

/* `dir`: where the files are. */
void screen_print(const thaw_preview_figures *figures, const thaw_scenario *scenario,
                  const char *dir);
void screen_print_ledgers(const thaw_preview_figures *figures);

#endif
