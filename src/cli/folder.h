/* Can files be written into a folder? Asked before a long run rather than after it. */
#ifndef THAW_CLI_FOLDER_H
#define THAW_CLI_FOLDER_H

#include <stdbool.h>

/* Makes the folder, a file in it, and takes away again what it made. False after a line on stderr
 * if that does not work. */
bool folder_try(const char *dir);

#endif
