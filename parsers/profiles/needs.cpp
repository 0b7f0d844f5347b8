#include "profile.hpp"
