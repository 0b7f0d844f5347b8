#include "gate_code.hpp"

#include <slotwitness/readback/code_book.hpp>

namespace slotwitness::witness {
namespace {

std::string_view decision_of(const GateFinding& gate) {
    switch (gate.verdict) {
    case Verdict::pass:
        if (!gate.standing || *gate.standing == Standing::met)
            return "pass";
        return *gate.standing == Standing::lost ? "lost" : "";
    case Verdict::fail:
        return gate.failure == Failure::not_seen ? "not seen" : "seen false";
    case Verdict::pending:
    case Verdict::cancelled:
        return "";
    }
    return "";
}

} // namespace

std::string code_of(std::string_view chassis, const GateFinding& gate) {
    const bool is_procedures = gate.id.find('.') != std::string::npos;
    const std::string_view decision = decision_of(gate);
    if (is_procedures || decision.empty())
        return "";
    const readback::CodeBook book(std::string(chassis) + "\n" + gate.id,
                                  {"pass", "lost", "seen false", "not seen"});
    return book.code(decision);
}

} // namespace slotwitness::witness
