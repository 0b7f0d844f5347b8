#include "health_check.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <utility>

namespace slotwitness::twins {

void begin_with_health_check(BenchDesk& bench) {
    const std::string file = SLOTWITNESS_FIXTURES "/quillon/procedures/health-check.toml";
    std::ifstream stream(file);
    const std::string text(std::istreambuf_iterator<char>(stream), {});
    auto procedure = procedures::parse_procedure({file, text});
    ASSERT_TRUE(procedure) << state::to_text(procedure.error().front());
    bench.book.try_emplace("health-check", desk::WrittenProcedure{std::move(*procedure), text});
    bench.settings.inventory = {
        {state::Kind::plane, {"1", "2", "3"}}, {state::Kind::module, {"FAB1"}},
        {state::Kind::fan_tray, {"TRAY1"}},    {state::Kind::power_supply, {"PSU1"}},
        {state::Kind::controller, {"CTL0"}},   {state::Kind::sensor, {"inlet"}}};
    for (desk::ChassisSettings& other : bench.more)
        other.inventory = bench.settings.inventory;
    bench.begin();
    bench.run_until([&] { return bench.desk().health().ready; });
}

desk::ProcedureWish health_check_of(const std::string& chassis, const std::string& key) {
    desk::ProcedureWish wish;
    wish.chassis = chassis;
    wish.procedure = "health-check";
    wish.arguments = {{"inlet", "inlet"},
                      {"inlet-limit", "27 C by site rule 2"},
                      {"plane", "3"},
                      {"margin", "10 % by capacity plan 3"}};
    wish.by = "the test";
    wish.idempotency_key = key;
    return wish;
}

} // namespace slotwitness::twins
