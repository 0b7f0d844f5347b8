#pragma once

namespace slotwitness::program {

/// What the command line says to the shell: the numbers are those of sysexits.h, 0 and 1 are ours.
enum ExitCode : int {
    exit_pass = 0,
    exit_fail = 1,           ///< seen false, or a replay that differs
    exit_usage = 64,         ///< EX_USAGE
    exit_bad_data = 65,      ///< EX_DATAERR: a sentence, a profile, an answer, a damaged journal
    exit_no_input = 66,      ///< EX_NOINPUT: a file that cannot be read
    exit_unavailable = 69,   ///< EX_UNAVAILABLE: the journal or the address cannot be had
    exit_defect = 70,        ///< EX_SOFTWARE
    exit_not_seen = 75,      ///< EX_TEMPFAIL: not seen in time
    exit_no_permission = 77, ///< EX_NOPERM: host key or credential refused
    exit_bad_config = 78,    ///< EX_CONFIG
};

} // namespace slotwitness::program
