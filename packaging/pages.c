/* usage: thaw_pages man DATE | thaw_pages bash */
#include "pages.h"

#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    if (argc == 3 && strcmp(argv[1], "man") == 0) {
        pages_man(argv[2]);
    } else if (argc == 2 && strcmp(argv[1], "bash") == 0) {
        pages_bash();
    } else {
        fprintf(stderr, "usage: thaw_pages man DATE | thaw_pages bash\n");
        return 2;
    }
    return fflush(stdout) != 0 || ferror(stdout);
}
