#pragma once

#include "bench_desk.hpp"

#include <string>

namespace slotwitness::twins {

/// Begins the desk with the shipped look-only procedure in its book, and waits until every chassis'
/// inventory is stated.
void begin_with_health_check(BenchDesk& bench);
/// That procedure, filled for plane 3.
[[nodiscard]] desk::ProcedureWish health_check_of(const std::string& chassis,
                                                  const std::string& key = "");

} // namespace slotwitness::twins
