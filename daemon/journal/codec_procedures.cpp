#include "codec.hpp"
#include "codec_parts.hpp"
#include "procedure_members.hpp"

// Events and findings of procedures. What is not of them is in codec_write.cpp and codec_read.cpp.
namespace slotwitness::journal {

namespace {

using nlohmann::json;

template <class Value>
struct TypeOf;
template <>
struct TypeOf<witness::ProcedureOpened> {
    static constexpr std::string_view name = "procedure.opened";
};
template <>
struct TypeOf<witness::StepReleased> {
    static constexpr std::string_view name = "step.released";
};
template <>
struct TypeOf<witness::StepConfirmed> {
    static constexpr std::string_view name = "step.confirmed";
};
template <>
struct TypeOf<witness::ChassisNamed> {
    static constexpr std::string_view name = "chassis.named";
};
template <>
struct TypeOf<witness::ChassisFinding> {
    static constexpr std::string_view name = "chassis";
};
template <>
struct TypeOf<witness::StepUnconfirmed> {
    static constexpr std::string_view name = "step.unconfirmed";
};
template <>
struct TypeOf<witness::PartFinding> {
    static constexpr std::string_view name = "part";
};
template <>
struct TypeOf<witness::StepTriedAgain> {
    static constexpr std::string_view name = "step.tried_again";
};
template <>
struct TypeOf<witness::StepForced> {
    static constexpr std::string_view name = "step.forced";
};
template <>
struct TypeOf<witness::StopAnswered> {
    static constexpr std::string_view name = "stop.answered";
};
template <>
struct TypeOf<witness::DifferenceWaived> {
    static constexpr std::string_view name = "difference.waived";
};
template <>
struct TypeOf<witness::HandbackFinding> {
    static constexpr std::string_view name = "handback";
};
template <>
struct TypeOf<witness::BackOutBegun> {
    static constexpr std::string_view name = "back_out.begun";
};
template <>
struct TypeOf<witness::ShiftTaken> {
    static constexpr std::string_view name = "shift.taken";
};
template <>
struct TypeOf<witness::ForecastMade> {
    static constexpr std::string_view name = "forecast.made";
};
template <>
struct TypeOf<witness::ProcedureClosed> {
    static constexpr std::string_view name = "procedure.closed";
};
template <>
struct TypeOf<witness::ProcedureFinding> {
    static constexpr std::string_view name = "procedure";
};
template <>
struct TypeOf<witness::StepFinding> {
    static constexpr std::string_view name = "step";
};
template <>
struct TypeOf<witness::RuleFinding> {
    static constexpr std::string_view name = "rule";
};
template <>
struct TypeOf<witness::CoolingFinding> {
    static constexpr std::string_view name = "cooling";
};

template <class Value>
concept Work = requires {
    TypeOf<Value>::name;
};

template <class Variant>
std::string_view type_in(const Variant& variant) {
    return std::visit(
        []<class Value>(const Value&) -> std::string_view {
            if constexpr (Work<Value>)
                return TypeOf<Value>::name;
            else
                return {};
        },
        variant);
}

template <Work Value>
json write_one(const Value& value, Times times) {
    json out = Writer(times).written(value);
    if constexpr (std::same_as<Value, witness::RuleFinding>)
        out["because"] = write_because(value.because);
    return out;
}

template <class Variant>
json write_in(const Variant& variant, Times times) {
    return std::visit(
        [times]<class Value>(const Value& value) -> json {
            if constexpr (Work<Value>)
                return write_one(value, times);
            else
                return nullptr;
        },
        variant);
}

/// The alternative of `Variant` that has this type; nothing if none has.
template <class Variant, std::size_t Index = 0>
std::optional<Variant> read_in(std::string_view type, const Object& from, Times times) {
    if constexpr (Index == std::variant_size_v<Variant>) {
        return std::nullopt;
    } else {
        using Value = std::variant_alternative_t<Index, Variant>;
        if constexpr (Work<Value>)
            if (type == TypeOf<Value>::name) {
                Value value;
                Reader reader(from, times);
                members(reader, value);
                if constexpr (std::same_as<Value, witness::RuleFinding>)
                    value.because = read_because(from.object("because"));
                return value;
            }
        return read_in<Variant, Index + 1>(type, from, times);
    }
}

} // namespace

json to_json(const witness::ProcedureFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::StepFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::RuleFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::ChassisFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::PartFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::Exception& exception) {
    return Writer(Times::rfc3339).written(exception);
}
json to_json(const witness::CoolingFinding& finding) {
    return write_one(finding, Times::rfc3339);
}
json to_json(const witness::HandbackFinding& finding) {
    return write_one(finding, Times::rfc3339);
}

std::string_view work_type(const witness::Event& event) {
    return type_in(event.what);
}
std::string_view work_type(const witness::Finding& finding) {
    return type_in(finding);
}
json write_work(const witness::Event& event) {
    return write_in(event.what, Times::milliseconds);
}
json write_work(const witness::Finding& finding) {
    return write_in(finding, Times::rfc3339);
}
bool read_work(std::string_view type, const Object& from, witness::Event& into) {
    auto what = read_in<decltype(into.what)>(type, from, Times::milliseconds);
    if (!what)
        return false;
    into.what = std::move(*what);
    return true;
}
std::optional<witness::Finding> read_work(std::string_view type, const Object& from) {
    return read_in<witness::Finding>(type, from, Times::rfc3339);
}

} // namespace slotwitness::journal
