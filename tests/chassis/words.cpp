#include "words.hpp"

namespace slotwitness::chassis {

std::string_view to_word(Drive value) {
    switch (value) {
    case Drive::engaged:
        return "engaged";
    case Drive::easing:
        return "easing";
    case Drive::released:
        return "released";
    }
    return "";
}

std::string_view to_word(Condition value) {
    switch (value) {
    case Condition::running:
        return "running";
    case Condition::carrying:
        return "carrying";
    case Condition::dark:
        return "dark";
    case Condition::proving:
        return "proving";
    case Condition::unclear:
        return "unclear";
    }
    return "";
}

std::string_view to_word(Role value) {
    switch (value) {
    case Role::leading:
        return "leading";
    case Role::ready:
        return "ready";
    case Role::cold:
        return "cold";
    }
    return "";
}

std::string_view to_word(Grade value) {
    switch (value) {
    case Grade::critical:
        return "critical";
    case Grade::major:
        return "major";
    case Grade::minor:
        return "minor";
    case Grade::warning:
        return "warning";
    }
    return "";
}

std::string_view to_word(Sense value) {
    switch (value) {
    case Sense::good:
        return "good";
    case Sense::away:
        return "away";
    case Sense::wrong:
        return "wrong";
    }
    return "";
}

std::string_view to_word(Hearing value) {
    switch (value) {
    case Hearing::steady:
        return "steady";
    case Hearing::silent:
        return "silent";
    }
    return "";
}

std::string_view to_word(Part value) {
    switch (value) {
    case Part::plane:
        return "plane";
    case Part::module:
        return "module";
    case Part::port:
        return "port";
    case Part::tray:
        return "tray";
    case Part::supply:
        return "supply";
    case Part::controller:
        return "controller";
    }
    return "";
}

} // namespace slotwitness::chassis
