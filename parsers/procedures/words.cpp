#include "procedure.hpp"

namespace slotwitness::procedures {

std::string_view to_word(Actor value) {
    switch (value) {
    case Actor::engineer:
        return "engineer";
    case Actor::technician:
        return "technician";
    }
    __builtin_unreachable();
}

std::string_view to_word(IfWrong::First value) {
    switch (value) {
    case IfWrong::First::freeze:
        return "freeze";
    case IfWrong::First::finish_seating:
        return "finish-seating";
    case IfWrong::First::put_back:
        return "put-back";
    case IfWrong::First::call:
        return "call";
    }
    __builtin_unreachable();
}

std::string_view to_word(Work value) {
    switch (value) {
    case Work::replace:
        return "replace";
    case Work::reseat:
        return "reseat";
    case Work::refit:
        return "refit";
    case Work::look_only:
        return "look-only";
    }
    __builtin_unreachable();
}

} // namespace slotwitness::procedures
