#pragma once

#include "store.hpp"

#include <soci/soci.h>

#include <exception>
#include <string>

/// Inside of the SQLite store: what SOCI says differently from what the store's callers need to
/// hear.
namespace slotwitness::journal {

/// "SWJ1" in ASCII: tells our files from other SQLite databases (`PRAGMA application_id`).
inline constexpr long long application_id = 0x53574A31;
/// Of the tables; a file with a greater one was written by a newer version (`PRAGMA user_version`).
inline constexpr long long schema_version = 1;

/// Opens `path` with SOCI. Throws what SOCI throws.
void open_session(soci::session& session, const std::string& path, bool read_only);

[[nodiscard]] long long pragma(soci::session& session, const std::string& name);

/// The error of the call that has just failed on `session`, in plain words with what to do about
/// it. To be called before anything else is done with the session.
[[nodiscard]] StoreError store_error(soci::session& session, const std::string& path,
                                     const std::exception& thrown);

} // namespace slotwitness::journal
