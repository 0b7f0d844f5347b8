#include "problem.hpp"
